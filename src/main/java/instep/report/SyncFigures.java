package instep.report;

import java.util.List;
import java.util.OptionalLong;

/**
 * How sound the timecode of a take was.
 *
 * @param source where it came from when the take began
 * @param state what was the matter with it then; empty: nothing was said
 * @param unkept whether nothing kept this machine's clock right
 * @param steps what changed within the take, the first of them
 * @param more how many changes there were beyond these
 * @param follows how often frames were set a little so as to follow another clock
 * @param broken frames during which it went on by itself
 * @param uncertainty microseconds by which a frame began earlier or later at most; empty if nobody knows
 * @param drift how much quicker than this machine's clock it ran, in millionths; empty if it was not measured
 */
public record SyncFigures(
        String source,
        String state,
        boolean unkept,
        List<SyncStep> steps,
        long more,
        long follows,
        long broken,
        OptionalLong uncertainty,
        OptionalLong drift) {
    public SyncFigures {
        steps = List.copyOf(steps);
    }
}
