package instep.daemon;

import instep.clock.Chase;
import instep.clock.CountUp;
import instep.clock.TimeOfDay;
import instep.clock.TimecodeSource;
import instep.config.TimecodeSettings;
import instep.config.TimecodeSettings.Source;
import instep.journal.Happening;
import instep.journal.Records;
import instep.journal.SyncQuality;
import instep.journal.SyncRecord;
import instep.time.Durations;
import instep.time.Timecode;
import instep.time.TimecodeLine;
import java.time.ZoneOffset;

/**
 * The journal with the timecode of the moment: stamps what happens and keeps the line of timecode still while a take is open, unless it follows timecode from outside. Loop
 * thread only.
 */
public final class Chronicle {
    private final Records records;
    private final TimecodeSource source;
    private final boolean countsUp;
    private final TimecodeStretches lines;
    /** What the source only stands in for: the word for timecode from outside; empty: nothing. */
    private final String outside;

    private final WallTime wall;

    private boolean counting;
    /** Timecode from outside has been locked on once; the source is not asked any more. */
    private boolean isChased;

    private boolean isLost;
    /** How well it was known when it was last told of. */
    private SyncQuality known = SyncQuality.UNKNOWN;

    /** Timecode from a source that is there, on a machine whose clock nobody looks at. */
    public Chronicle(Records records, TimecodeSource source, boolean countsUp, long now) {
        this.records = records;
        this.source = source;
        this.countsUp = countsUp;
        this.outside = "";
        wall = WallTime.of(ZoneOffset.UTC, nanos -> nanos);
        lines = new TimecodeStretches(source.lineThrough(now));
    }

    private Chronicle(Records records, TimecodeSettings timecode, WallTime wall, long now) {
        this.records = records;
        this.wall = wall;
        countsUp = timecode.source() == Source.COUNT_UP;
        source = countsUp ? new CountUp(timecode.start()) : new TimeOfDay(timecode.rate(), wall.zone(), wall::at);
        outside = timecode.source().isOutside() ? timecode.source().word() : "";
        lines = new TimecodeStretches(source.lineThrough(now));
    }

    /** With timecode as the configuration has it. */
    public static Chronicle of(Records records, TimecodeSettings timecode, WallTime wall, long now) {
        return new Chronicle(records, timecode, wall, now);
    }

    /** Draws the line anew from that instant, before anything is noted. */
    void begin(long nanos) {
        lines.begin(source.lineThrough(nanos));
    }

    /** Writes down what happened at that instant; returns the number of the record. */
    public long note(long nanos, Happening what) {
        return records.append(nanos, lines.frameAt(nanos), what);
    }

    /** Hands over what was noted; once in a turn of the loop, after the wire had its bytes. */
    void flush() {
        records.flush();
    }

    /** Writes down what timecode counts until the first take begins, and what is known of the clock. */
    void noteSource(long nanos) {
        if (!countsUp) {
            note(nanos, SyncRecord.of(source.name(), null, ofClock()));
        }
    }

    /** A take begins, and the line is drawn anew: from the time of day then, or once from the first frame when counting up. */
    void beginTake(long take, long nanos) {
        long set = wall.setSince(nanos);
        draw(nanos);
        note(nanos, Happening.takeOpen(take, wall.boot()));
        doubt(set, nanos);
    }

    /** The same of a take that goes on; it began in an earlier run, in the frame that was in the same line then. */
    void resumeTake(long take, long began, long nanos) {
        long set = wall.setSince(nanos);
        draw(nanos);
        note(nanos, Happening.takeResumed(take, lines.frameAt(nanos) - lines.frameAt(began), wall.boot()));
        doubt(set, nanos);
    }

    private void draw(long nanos) {
        if (isChased) {
            note(nanos, SyncRecord.of(outside, null, known));
        } else if (!countsUp || !counting) {
            lines.begin(source.lineThrough(nanos));
            counting = true;
            note(nanos, SyncRecord.of(source.name(), null, ofClock()));
        }
    }

    /** Says what an editor must know of the timecode of this take; {@code set}: by how much the clock was set before it. */
    private void doubt(long set, long nanos) {
        if (set != 0 && !countsUp && !isChased) {
            String by = (set > 0 ? "forward by " : "back by ") + Durations.rounded(Math.abs(set));
            note(
                    nanos,
                    Happening.fault("the clock of this machine was set " + by + " before this take: so was timecode"));
        }
        if (!outside.isEmpty() && !isChased) {
            note(nanos, Happening.fault("no timecode has come in (" + outside + "): this take has the time of day"));
        } else if (isLost) {
            note(nanos, Happening.fault(outside + " is lost: the timecode of this take goes on by itself and drifts"));
        }
    }

    private SyncQuality ofClock() {
        return countsUp ? SyncQuality.UNKNOWN : new SyncQuality(wall.state(), wall.uncertaintyMicros(), -1, null);
    }

    /**
     * Timecode from outside has news, heard at that instant; its line holds for what is stamped {@code since} or later.
     *
     * @return the number of the record
     */
    long chase(ChaseNews news, long heard, long since) {
        TimecodeLine line = news.line();
        isChased |= line != null;
        isLost = news.what() == Chase.News.LOST && line != null;
        known = new SyncQuality(
                null, news.quality().uncertaintyMicros(), -1, news.quality().ratePpm());
        TimecodeLine now = line == null ? lines.line() : line;
        long frame = now.frameAt(heard);
        long began = now.nanosAt(frame);
        if (line != null) {
            // The very line that can be read in the journal.
            lines.goOn(since, new TimecodeLine(now.rate(), began, frame));
        }
        String name = line == null ? source.name() : outside;
        return records.append(heard, frame, SyncRecord.chased(name, news.what().word(), began, news.quality()));
    }

    /** The label at that instant. */
    Timecode timecodeAt(long nanos) {
        return Timecode.wrapped(lines.line().rate(), lines.frameAt(nanos));
    }
}
