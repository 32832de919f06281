package instep.daemon;

import instep.config.Settings;

/** Where timecode from outside comes in, and goes on to the switchboard. Loop thread only. */
interface TimecodePort extends AutoCloseable {
    /** Begins to listen. */
    void start();

    /** Another configuration is in force, with the same timecode; the switchboard is another one, too. */
    default void goOn(Settings next) {}

    /** Lets go of what it listens to. */
    @Override
    void close();
}
