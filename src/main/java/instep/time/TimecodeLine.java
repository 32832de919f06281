package instep.time;

/**
 * A straight line from monotonic time to timecode: at {@code anchorNanos} frame {@code anchorFrame} began, and frames follow at
 * the exact rate. Frames are counted on over midnight; {@link #at} gives the label.
 *
 * @param rate the rate at which frames are counted
 * @param anchorNanos a monotonic instant in nanoseconds
 * @param anchorFrame the frame that begins there, counted from midnight
 */
public record TimecodeLine(FrameRate rate, long anchorNanos, long anchorFrame) {
    /** The frame, counted on over midnight, that holds the instant. */
    public long frameAt(long nanos) {
        return anchorFrame + rate.frameAt(nanos - anchorNanos);
    }

    /** The first nanosecond of a frame, counted on over midnight. */
    public long nanosAt(long frame) {
        return anchorNanos + rate.nanosAt(frame - anchorFrame);
    }

    /** The label at the instant. */
    public Timecode at(long nanos) {
        return Timecode.wrapped(rate, frameAt(nanos));
    }
}
