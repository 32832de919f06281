package instep.daemon;

import instep.clock.Chase;
import instep.clock.CountUp;
import instep.clock.TimeOfDay;
import instep.clock.TimecodeSource;
import instep.config.TimecodeSettings;
import instep.journal.Happening;
import instep.journal.Records;
import instep.time.Timecode;
import instep.time.TimecodeLine;
import java.time.ZoneId;
import java.util.function.LongUnaryOperator;
import org.jspecify.annotations.Nullable;

/**
 * The journal with the timecode of the moment: stamps what happens and keeps the line of timecode still while a take is open, unless it follows timecode from outside. Loop
 * thread only.
 */
public final class Chronicle {
    /** What stands in the journal for linear timecode. */
    public static final String LTC = "ltc";

    private final Records records;
    private final TimecodeSource source;
    private final boolean countsUp;
    private final TimecodeStretches lines;
    /** The source only stands in for timecode from outside. */
    private final boolean awaitsLtc;

    private boolean counting;
    /** Timecode from outside has been locked on once; the source is not asked any more. */
    private boolean isChased;

    public Chronicle(Records records, TimecodeSource source, boolean countsUp, long now) {
        this(records, source, countsUp, false, now);
    }

    private Chronicle(Records records, TimecodeSource source, boolean countsUp, boolean awaitsLtc, long now) {
        this.records = records;
        this.source = source;
        this.countsUp = countsUp;
        this.awaitsLtc = awaitsLtc;
        lines = new TimecodeStretches(source.lineThrough(now));
    }

    /** With timecode as the configuration has it; the time of day is that of the zone. */
    public static Chronicle of(
            Records records, TimecodeSettings timecode, ZoneId zone, LongUnaryOperator wallAt, long now) {
        return switch (timecode.source()) {
            case COUNT_UP -> new Chronicle(records, new CountUp(timecode.start()), true, now);
            case TIME_OF_DAY -> new Chronicle(records, new TimeOfDay(timecode.rate(), zone, wallAt), false, now);
            case LTC, MTC, GEAR -> new Chronicle(records, new TimeOfDay(timecode.rate(), zone, wallAt), false, true, now);
        };
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

    /** A take begins, and the line is drawn anew: from the time of day then, or once from the first frame when counting up. */
    void beginTake(long take, long nanos) {
        if (isChased) {
            note(nanos, Happening.sync(LTC, null));
        } else if (!countsUp || !counting) {
            lines.begin(source.lineThrough(nanos));
            counting = true;
            note(nanos, Happening.sync(source.name(), null));
        }
        note(nanos, Happening.takeOpen(take));
        if (awaitsLtc && !isChased) {
            note(nanos, Happening.fault("no linear timecode has come in: this take has the time of day"));
        }
    }

    /**
     * Timecode from outside has news, heard at that instant; its line holds for what is stamped {@code since} or later.
     *
     * @param line null: there has been none yet, and the source goes on
     * @return the number of the record
     */
    long chase(Chase.News news, @Nullable TimecodeLine line, long heard, long since) {
        isChased |= line != null;
        TimecodeLine now = line == null ? lines.line() : line;
        long frame = now.frameAt(heard);
        long began = now.nanosAt(frame);
        if (line != null) {
            // The very line that can be read in the journal.
            lines.goOn(since, new TimecodeLine(now.rate(), began, frame));
        }
        return records.append(heard, frame, Happening.chased(line == null ? source.name() : LTC, news.word(), began));
    }

    /** The label at that instant. */
    Timecode timecodeAt(long nanos) {
        return Timecode.wrapped(lines.line().rate(), lines.frameAt(nanos));
    }
}
