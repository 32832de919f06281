package instep.gear;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How one gear is listened to. Immutable.
 *
 * @param replies what it may say that means something
 * @param poll what it is asked over and over; null: nothing
 * @param heartbeat how it is seen that it is still alive; null: as the network tells
 * @param rollWithinNanos how long after the beginning of a take it may take until it says that it rolls
 * @param confirmWithinNanos how long after it was told of a cut it may take until it says that the angle is on air
 * @param resync what it is told when it can be reached again
 * @param secrets those that stand in what it is told
 * @param queue how many messages for it may wait
 */
public record Listening(
        List<ReplyPattern> replies,
        @Nullable Poll poll,
        @Nullable Heartbeat heartbeat,
        long rollWithinNanos,
        long confirmWithinNanos,
        Resync resync,
        List<Secret> secrets,
        int queue) {
    /** So many messages may wait, where nothing else is said. */
    public static final int QUEUE = 64;

    /** So long may a recorder take, where nothing else is said, and at least two of the times between two questions to one that is asked over and over. */
    public static final long ROLL_WITHIN = 1_000_000_000L;

    /** So long may a mixer take to say what is on air, where nothing else is said; one that is asked over and over as long again as between two questions. */
    public static final long CONFIRM_WITHIN = 1_000_000_000L;

    /** What it says is written down, and that is all. */
    public static final Listening PLAIN =
            new Listening(List.of(), null, null, ROLL_WITHIN, CONFIRM_WITHIN, Resync.ANGLE, List.of(), QUEUE);

    public Listening {
        replies = List.copyOf(replies);
        secrets = List.copyOf(secrets);
    }

    /** The same, and those secrets stand in what it is told. */
    public Listening with(List<Secret> others) {
        return new Listening(replies, poll, heartbeat, rollWithinNanos, confirmWithinNanos, resync, others, queue);
    }

    /** Whether it tells which angle is on air. */
    public boolean tellsOnAir() {
        return replies.stream().anyMatch(pattern -> pattern.onAir() != null);
    }

    /** Whether it can say that this angle is on air. */
    public boolean tellsOnAir(String angle) {
        return replies.stream().map(ReplyPattern::onAir).anyMatch(name -> name != null && name.canBe(angle));
    }

    /** Whether it tells that it rolls. */
    public boolean tellsRolling() {
        return replies.stream().anyMatch(pattern -> Boolean.TRUE.equals(pattern.rolling()));
    }

    /** Whether it tells its own timecode. */
    public boolean tellsTimecode() {
        return replies.stream().anyMatch(pattern -> pattern.timecode() != null);
    }

    /** A request that is made over and over. */
    public record Poll(Payload payload, long everyNanos) {}

    /**
     * Something small that is said over and over, so that a peer which has died without a word is noticed.
     *
     * @param expect what has to come back; null: anything at all
     */
    public record Heartbeat(Payload payload, @Nullable Match expect, long everyNanos, long withinNanos) {}

    /**
     * What gear is told when it can be reached again.
     *
     * @param angle the cut to the angle that should be on air
     * @param message the name of a message; null: none
     */
    public record Resync(boolean angle, @Nullable String message) {
        /** The angle that should be on air. */
        public static final Resync ANGLE = new Resync(true, null);

        /** Nothing. */
        public static final Resync NONE = new Resync(false, null);
    }
}
