package instep.gear;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Something said to one or more gear: steps, which go to each gear in their order, and to different gear at once.
 *
 * @param isCut whether it puts an angle on air: what of it comes too late is not said any more
 */
public record Message(String name, List<Step> steps, boolean isCut) {
    /** What one gear is told. */
    public List<Payload> payloads(int gear) {
        return steps.stream()
                .filter(step -> step.gear() == gear)
                .map(Step::payload)
                .toList();
    }

    public Message {
        steps = List.copyOf(steps);
    }

    /** A message that is no cut. */
    public Message(String name, List<Step> steps) {
        this(name, steps, false);
    }

    /** Whether all of it can be said at once, without waiting for anything. */
    boolean isPlain() {
        for (int i = 0; i < steps.size(); i++) {
            if (!steps.get(i).isPlain()) {
                return false;
            }
        }
        return true;
    }

    /**
     * What one gear is told.
     *
     * @param gear the number of the gear
     * @param waitNanos after the step before it of the same gear, or for the first after the beginning of the message
     * @param expect what the gear has to answer before its next step; null: it need not, beyond what its transport asks for
     * @param retries how often it is said again if the answer is another one or none
     */
    public record Step(
            int gear,
            Payload payload,
            long waitNanos,
            @Nullable Expect expect,
            int retries) {
        /** A step that goes at once, and that nothing waits for. */
        public Step(int gear, Payload payload) {
            this(gear, payload, 0, null, 0);
        }

        boolean isPlain() {
            return waitNanos == 0 && expect == null && retries == 0;
        }
    }

    /**
     * What the answer has to be.
     *
     * @param withinNanos how soon after it was sent; for HTTP, the request itself says it
     */
    public record Expect(Match match, long withinNanos) {
        /** So long, where nothing else is said. */
        public static final long WITHIN = 1_000_000_000L;
    }
}
