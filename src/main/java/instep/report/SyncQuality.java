package instep.report;

import java.util.List;
import java.util.OptionalDouble;

/**
 * How sound the timecode of a take was.
 *
 * @param source where it came from when the take began
 * @param state what was the matter with it then; empty: nothing was said
 * @param steps what changed within the take, the first of them
 * @param more how many changes there were beyond these
 * @param follows how often frames were set a little so as to follow another clock
 * @param broken frames during which it went on by itself
 * @param drift how much quicker than this computer's clock it ran, in millionths; empty if it cannot be told
 */
public record SyncQuality(
        String source, String state, List<SyncStep> steps, long more, long follows, long broken, OptionalDouble drift) {
    public SyncQuality {
        steps = List.copyOf(steps);
    }
}
