package instep.identify;

import instep.gesture.Threshold;
import instep.gesture.Timing;
import instep.input.Inventory.Device;
import instep.input.Signal;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** A contact that was pressed: what it is, how it is written, and how it bounces. One thread. */
final class FoundContact {
    private static final long MILLI = 1_000_000L;
    /** No foot lets go and presses again within this: what comes so soon is bounce. Common practice, no source. */
    private static final long QUICKEST_FOOT = 40 * MILLI;
    /** What is recommended covers a third more than was seen. */
    private static final long MARGIN_PERCENT = 133;

    private final Device device;
    private final Signal signal;
    private final @Nullable Threshold threshold;
    private final String name;
    private boolean closed;
    private boolean heard;
    private long lastEdge;
    private long shortestGap = Long.MAX_VALUE;
    private long burstBegan;
    private long longestBurst;

    /**
     * A contact that has not been pressed yet.
     *
     * @param threshold of something that moves; null for a switch
     */
    FoundContact(Device device, Signal signal, @Nullable Threshold threshold, String name) {
        this.device = device;
        this.signal = signal;
        this.threshold = threshold;
        this.name = name;
    }

    Device device() {
        return device;
    }

    Signal signal() {
        return signal;
    }

    String name() {
        return name;
    }

    boolean isClosed() {
        return closed;
    }

    /** Notes that it closed or opened. */
    void edge(boolean close, long nanos) {
        if (heard) {
            long gap = nanos - lastEdge;
            // The two edges of a detent come in the same instant.
            shortestGap = gap > 0 ? Math.min(shortestGap, gap) : shortestGap;
            burstBegan = gap < QUICKEST_FOOT ? burstBegan : nanos;
            longestBurst = signal.isStep() ? 0 : Math.max(longestBurst, nanos - burstBegan);
        } else {
            burstBegan = nanos;
        }
        heard = true;
        closed = close;
        lastEdge = nanos;
    }

    /** Its debounce, if it needs another one than it gets by itself. */
    Optional<String> debounce() {
        long needed = longestBurst * MARGIN_PERCENT / 100;
        return needed <= Timing.DEFAULT.debounce() ? Optional.empty() : Optional.of(roundedUp(needed) + "ms");
    }

    private static long roundedUp(long nanos) {
        long millis = (nanos + MILLI - 1) / MILLI;
        return millis <= 10 ? millis : (millis + 4) / 5 * 5;
    }

    /** How it bounces, for a person; empty if it does not. */
    Optional<String> bounce() {
        if (longestBurst == 0) {
            return Optional.empty();
        }
        String cure = debounce()
                .map(time -> "give it debounce: " + time)
                .orElse("what it gets by itself (debounce: " + Timing.DEFAULT.debounce() / MILLI + "ms) covers that");
        return Optional.of(name + " bounces for up to " + millis(longestBurst) + ", with " + millis(shortestGap)
                + " between two edges; " + cure);
    }

    private static String millis(long nanos) {
        return nanos / MILLI + "." + nanos / (MILLI / 10) % 10 + " ms";
    }

    /** How it is written after its name and a colon. */
    String written() {
        String timing = debounce().map(time -> ", debounce: " + time).orElse("");
        if (threshold == null && timing.isEmpty() && signal instanceof Signal.Key key) {
            return key.name();
        }
        return "{ " + signal.keys() + (threshold == null ? "" : thresholds(threshold)) + timing + " }";
    }

    private static String thresholds(Threshold threshold) {
        boolean isAbove = threshold.press() > threshold.release();
        return ", press-" + (isAbove ? "above: " : "below: ") + percent(threshold.press()) + ", release-"
                + (isAbove ? "below: " : "above: ") + percent(threshold.release());
    }

    private static String percent(double share) {
        return Math.round(share * 100) + "%";
    }
}
