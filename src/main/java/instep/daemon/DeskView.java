package instep.daemon;

import instep.desk.Desk;
import instep.desk.Snapshot;
import instep.journal.Journal;
import java.util.OptionalLong;

/** The running desk as its page may ask of it. Any thread, but for {@link #loopSilence}. */
record DeskView(DeskWatch watch, Loop loop, Pulse pulse, Journal journal, double speed) implements Desk {
    @Override
    public Snapshot latest() {
        return watch.latest();
    }

    @Override
    public long now() {
        return loop.now();
    }

    @Override
    public String version() {
        return Version.NUMBER;
    }

    @Override
    public String journalTrouble() {
        return journal.failing().orElse("");
    }

    @Override
    public OptionalLong oldestWaiting() {
        return journal.oldestWaiting();
    }

    @Override
    public long loopSilence() {
        return pulse.silence();
    }
}
