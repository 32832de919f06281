package instep.time;

/**
 * A label of SMPTE ST 12-1: the frame counted from midnight, {@code 0 <= frame < rate.framesPerDay()}. The text form exists only in
 * {@link #parse} and {@link #toString}: {@code hh:mm:ss:ff}, with {@code ;} before the frames when labels are dropped.
 */
public record Timecode(FrameRate rate, long frame) implements Comparable<Timecode> {
    public Timecode {
        if (frame < 0 || frame >= rate.framesPerDay()) {
            throw new IllegalArgumentException("frame " + frame + " is outside a day at " + rate.label());
        }
    }

    /** The label of any frame count, wrapped at midnight. */
    public static Timecode wrapped(FrameRate rate, long frames) {
        return new Timecode(rate, Math.floorMod(frames, rate.framesPerDay()));
    }

    /**
     * Reads a label. Before the frames a drop-frame rate takes {@code ;}, {@code ,} or {@code .}, any other rate only {@code :}.
     *
     * @throws TimeSyntaxException if it is no label of the rate; one that drop-frame counting skips is none
     */
    public static Timecode parse(String text, FrameRate rate) {
        return new TimecodeText(text, rate).read();
    }

    /** Adds frames (negative: takes away), wrapping at midnight. */
    public Timecode plus(long frames) {
        return wrapped(rate, frame + frames);
    }

    @Override
    public int compareTo(Timecode other) {
        return Long.compare(frame, other.frame);
    }

    /** Appends the label, eleven characters. */
    public void appendTo(StringBuilder out) {
        long labels = frame;
        if (rate.isDropFrame()) {
            long minuteFrames = rate.counted() * 60L;
            long tenMinutes = minuteFrames * 10 - rate.dropped() * 9L;
            long tens = frame / tenMinutes;
            long within = frame % tenMinutes;
            long skips = within < minuteFrames ? 0 : 1 + (within - minuteFrames) / (minuteFrames - rate.dropped());
            labels = frame + rate.dropped() * (tens * 9 + skips);
        }
        long seconds = labels / rate.counted();
        two(out, seconds / 3600).append(':');
        two(out, seconds / 60 % 60).append(':');
        two(out, seconds % 60).append(rate.isDropFrame() ? ';' : ':');
        two(out, labels % rate.counted());
    }

    private static StringBuilder two(StringBuilder out, long number) {
        return out.append((char) ('0' + number / 10)).append((char) ('0' + number % 10));
    }

    @Override
    public String toString() {
        StringBuilder out = new StringBuilder(11);
        appendTo(out);
        return out.toString();
    }
}
