package instep.time;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/**
 * A rate of SMPTE ST 12-1, held as the exact fraction, with the way its frames are counted. The rates just below a whole
 * number are that number times 1000/1001; the two drop-frame rates skip labels, never frames.
 */
public enum FrameRate {
    R23_976("23.976", 24, 24_000, 1_001, 0),
    R24("24", 24, 24, 1, 0),
    R25("25", 25, 25, 1, 0),
    R29_97("29.97", 30, 30_000, 1_001, 0),
    R29_97_DROP("29.97-drop", 30, 30_000, 1_001, 2),
    R30("30", 30, 30, 1, 0),
    R47_952("47.952", 48, 48_000, 1_001, 0),
    R48("48", 48, 48, 1, 0),
    R50("50", 50, 50, 1, 0),
    R59_94("59.94", 60, 60_000, 1_001, 0),
    R59_94_DROP("59.94-drop", 60, 60_000, 1_001, 4),
    R60("60", 60, 60, 1, 0);

    private static final long NANOS_PER_SECOND = 1_000_000_000L;

    private final String label;
    private final int counted;
    private final long numerator;
    private final long denominator;
    private final int dropped;

    FrameRate(String label, int counted, long numerator, long denominator, int dropped) {
        this.label = label;
        this.counted = counted;
        this.numerator = numerator;
        this.denominator = denominator;
        this.dropped = dropped;
    }

    /** The rate written as in a configuration, such as {@code 29.97-drop}; empty if there is none of that name. */
    public static Optional<FrameRate> named(String label) {
        return Arrays.stream(values()).filter(r -> r.label.equals(label)).findFirst();
    }

    /** The names of all rates, in the order of their speed. */
    public static List<String> labels() {
        return Arrays.stream(values()).map(FrameRate::label).toList();
    }

    /** The name in a configuration. */
    public String label() {
        return label;
    }

    /** Frame numbers in a second's label: 24, 25, 30, 48, 50 or 60. */
    public int counted() {
        return counted;
    }

    /** Numerator of the frames a second. */
    public long numerator() {
        return numerator;
    }

    /** Denominator of the frames a second: 1 or 1001. */
    public long denominator() {
        return denominator;
    }

    /** Labels skipped at the start of a minute that is no multiple of ten: 0, 2 or 4 (ST 12-1, drop-frame counting). */
    public int dropped() {
        return dropped;
    }

    /** Whether labels are skipped. */
    public boolean isDropFrame() {
        return dropped > 0;
    }

    /** Frames in the 24 hours of labels, after which the count starts again. */
    public long framesPerDay() {
        return 86_400L * counted - 24L * 54 * dropped;
    }

    /** The number of the frame that holds the instant {@code nanos} after the start of frame 0; exact for over 200 years. */
    public long frameAt(long nanos) {
        long seconds = Math.floorDiv(nanos, NANOS_PER_SECOND);
        long rest = Math.floorMod(nanos, NANOS_PER_SECOND);
        long scaled = seconds * numerator;
        long whole = Math.floorDiv(scaled, denominator);
        long part = Math.floorMod(scaled, denominator) * NANOS_PER_SECOND + rest * numerator;
        return whole + part / (denominator * NANOS_PER_SECOND);
    }

    /** The first whole nanosecond that lies in the frame, counted from the start of frame 0: inverse of {@link #frameAt}. */
    public long nanosAt(long frame) {
        long scaled = frame * denominator;
        long seconds = Math.floorDiv(scaled, numerator);
        long rest = Math.floorMod(scaled, numerator);
        return seconds * NANOS_PER_SECOND + (rest * NANOS_PER_SECOND + numerator - 1) / numerator;
    }
}
