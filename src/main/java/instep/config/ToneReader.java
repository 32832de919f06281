package instep.config;

import instep.gear.Payload;
import instep.time.FrameRate;
import java.util.List;

/** Reads tones: {@code { tone: 1000, for: 1f, level: -20 }}. */
final class ToneReader {
    static final List<String> KEYS = List.of("tone", "for", "level");
    /** What is heard of a tone above that is little, and no pitch that anybody needs. */
    private static final int HIGHEST_HERTZ = 20_000;

    private static final int USUAL_HERTZ = 1_000;
    private static final int USUAL_LEVEL = -20;
    private static final int LOWEST_LEVEL = -80;
    private static final long LONGEST_NANOS = 10_000_000_000L;

    private ToneReader() {}

    static Payload read(Node node, Scalars scalars) {
        Fields fields = Fields.of(node.place(), "this tone", node, KEYS, scalars);
        fields.require("tone", "expected its pitch in hertz, such as tone: 1000");
        long nanos = fields.nanos("for", oneFrame(scalars.rate()));
        if (nanos <= 0 || nanos > LONGEST_NANOS) {
            scalars.faults().add(fields.placeOf("for"), "expected more than no time and at most 10s");
        }
        return new Payload.Tone(
                fields.integer("tone", 1, HIGHEST_HERTZ, USUAL_HERTZ),
                nanos,
                fields.integer("level", LOWEST_LEVEL, 0, USUAL_LEVEL));
    }

    private static long oneFrame(FrameRate rate) {
        return rate.nanosAt(1);
    }
}
