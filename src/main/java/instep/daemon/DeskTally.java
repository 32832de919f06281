package instep.daemon;

import instep.desk.Histogram;
import instep.desk.Tallies;
import instep.journal.Happening;
import instep.journal.Key;
import instep.journal.Kind;
import java.util.List;

/** Counts what the records tell. Journal thread only. */
final class DeskTally {
    private long edges;
    private long gestures;
    private long own;
    private long foreign;
    private long takes;
    private long marks;
    private long faults;
    private long records;
    private long lostRecords;
    private long lag;
    private long syncOffset;
    private long syncedAt;
    private Histogram pressToWire = Histogram.NONE;
    private Histogram confirmed = Histogram.NONE;

    DeskTally(long now) {
        syncedAt = now;
    }

    /** A record that was made at an instant and has come to the file now. */
    void count(long mono, long now, Happening what) {
        records++;
        // These are of the instant at which the gesture began that led to them, which tells nothing of the journal.
        if (what.kind() != Kind.CUT && what.kind() != Kind.MARK) {
            lag = now - mono;
        }
        switch (what.kind()) {
            case EDGE -> edges++;
            case GESTURE -> gestures++;
            case CUT -> cut(what);
            case CONFIRMED -> confirmed = plus(confirmed, what);
            case TAKE_OPEN -> takes += what.text(Key.RESUMED).isEmpty() ? 1 : 0;
            case MARK -> marks++;
            case SENT -> pressToWire = plus(pressToWire, what);
            case FAULT -> {
                faults++;
                lostRecords += Math.max(0, what.number(Key.GAP));
            }
            case START,
                    CONFIG,
                    POSITION,
                    TRANSITION,
                    TAKE_CLOSE,
                    REPLY,
                    MISSED,
                    LINK,
                    DEVICE,
                    SYNC,
                    NOTE,
                    STANDING,
                    STOP -> {}
        }
    }

    private void cut(Happening what) {
        if (what.text(Key.BY).isEmpty()) {
            own++;
        } else {
            foreign++;
        }
    }

    private static Histogram plus(Histogram spread, Happening what) {
        long micros = what.number(Key.LATENCY_US);
        return micros < 0 ? spread : spread.plus(micros);
    }

    /** Timecode was set, so many nanoseconds ahead of where it was. */
    void synced(long mono, long offset) {
        syncedAt = mono;
        syncOffset = offset;
    }

    Tallies tallies(List<Tallies.Gear> gear, List<Tallies.Unit> units) {
        return new Tallies(
                edges,
                gestures,
                own,
                foreign,
                takes,
                marks,
                faults,
                records,
                lostRecords,
                lag,
                syncOffset,
                syncedAt,
                pressToWire,
                confirmed,
                gear,
                units);
    }
}
