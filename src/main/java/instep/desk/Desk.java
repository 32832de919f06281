package instep.desk;

import java.util.OptionalLong;

/** What the page asks of the running desk, from its own thread. */
public interface Desk {
    /** What goes on there. */
    Snapshot latest();

    /** The desk's monotonic time in nanoseconds. */
    long now();

    /** How many times faster than the clock that time runs. */
    double speed();

    /** The number of the program's version. */
    String version();

    /** Why the journal cannot be written at present; empty if it can. */
    String journalTrouble();

    /** The instant of the oldest record that the journal's thread has not yet taken; empty if there is none. */
    OptionalLong oldestWaiting();

    /** For how many nanoseconds the desk's own thread has owed a sign that it gets round; asks it for one. The page's thread only. */
    long loopSilence();
}
