package instep;

import instep.clock.TimecodeSource;
import instep.journal.Happening;
import instep.journal.Records;
import instep.time.Timecode;
import instep.time.TimecodeLine;

/**
 * The journal with the timecode of the moment: stamps what happens and keeps the line of timecode still while a take is open. Loop thread only.
 */
final class Chronicle {
    private final Records records;
    private final TimecodeSource source;
    private final boolean countsUp;
    private TimecodeLine line;
    private boolean counting;

    Chronicle(Records records, TimecodeSource source, boolean countsUp, long now) {
        this.records = records;
        this.source = source;
        this.countsUp = countsUp;
        line = source.lineThrough(now);
    }

    /** Draws the line anew from that instant, before anything is noted. */
    void begin(long nanos) {
        line = source.lineThrough(nanos);
    }

    /** Writes down what happened at that instant; returns the number of the record. */
    long note(long nanos, Happening what) {
        return records.append(nanos, line.frameAt(nanos), what);
    }

    /** Hands over what was noted; once in a turn of the loop, after the wire had its bytes. */
    void flush() {
        records.flush();
    }

    /** Draws the line anew where a take begins: from the time of day then, or once from the first frame when counting up. */
    void beginTake(long nanos) {
        if (!countsUp || !counting) {
            line = source.lineThrough(nanos);
            counting = true;
            note(nanos, Happening.sync(source.name(), null));
        }
    }

    /** The label at that instant. */
    Timecode timecodeAt(long nanos) {
        return line.at(nanos);
    }
}
