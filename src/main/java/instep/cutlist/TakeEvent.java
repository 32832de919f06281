package instep.cutlist;

/** What the journal tells about takes and angles, in the order in which it was written. Frames are counted on over midnight. */
public sealed interface TakeEvent {
    /** The frame that it is stamped with. */
    long frame();

    /** A take began. */
    record Opened(long take, long frame) implements TakeEvent {}

    /** Another angle went on air; it may be stamped with an earlier frame than the event before it, the beginning of a gesture. */
    record Cut(String angle, long frame) implements TakeEvent {}

    /** The take ended; the frame is the first that is no longer in it. */
    record Closed(long take, long frame) implements TakeEvent {}

    /** The daemon ended, cleanly or not; the frame is the first of which nothing is known. */
    record RunEnded(long frame) implements TakeEvent {}
}
