package instep.cutlist;

/**
 * What the journal tells about takes and angles, in the order in which it was written. Frames are counted on over midnight, and over a jump of timecode within a take: they are those of the labels
 * that the take began with.
 */
public sealed interface TakeEvent {
    /** The frame that it is stamped with. */
    long frame();

    /** A take began. */
    record Opened(long take, long frame) implements TakeEvent {}

    /** A take goes on that was open when an earlier run ended; between the two, what was on air stayed there. */
    record Resumed(long take, long frame) implements TakeEvent {}

    /**
     * Another angle went on air; it may be stamped with an earlier frame than the event before it, the beginning of a gesture.
     *
     * @param returning whether a detour ended
     */
    record Cut(String angle, long frame, boolean returning) implements TakeEvent {
        /** A cut that is no return. */
        public Cut(String angle, long frame) {
            this(angle, frame, false);
        }
    }

    /** Something was marked. */
    record Marked(Mark mark) implements TakeEvent {
        @Override
        public long frame() {
            return mark.frame();
        }
    }

    /** Timecode goes elsewhere within the take. */
    record Jumped(Jump jump) implements TakeEvent {
        @Override
        public long frame() {
            return jump.frame();
        }
    }

    /** The take ended; the frame is the first that is no longer in it. */
    record Closed(long take, long frame) implements TakeEvent {}

    /** The daemon ended, cleanly or not; the frame is the first of which nothing is known. */
    record RunEnded(long frame) implements TakeEvent {}
}
