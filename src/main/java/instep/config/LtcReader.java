package instep.config;

import instep.clock.PcmFormat;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Reads the keys of {@code timecode} that say how linear timecode comes in. */
final class LtcReader {
    static final List<String> KEYS = List.of("pcm", "sample-rate", "bits", "channels", "channel");
    static final Map<String, Integer> BITS = new LinkedHashMap<>();

    private static final int MOST_CHANNELS = 64;
    private static final int SLOWEST = 16_000;
    private static final int FASTEST = 192_000;
    private static final int USUAL_RATE = 48_000;

    static {
        List.of(16, 24, 32).forEach(bits -> BITS.put(String.valueOf(bits), bits));
    }

    private LtcReader() {}

    static LtcSettings read(Fields fields, long freewheel, Scalars scalars) {
        Node pipe = fields.require(
                "pcm", "expected the named pipe into which its sound is written, such as /run/instep/ltc.pcm");
        int sampleRate = fields.integer("sample-rate", SLOWEST, FASTEST, USUAL_RATE);
        int bits = fields.word("bits", BITS, BITS.values().iterator().next());
        int channels = fields.integer("channels", 1, MOST_CHANNELS, 1);
        int channel = fields.integer("channel", 1, channels, 1);
        return new LtcSettings(
                pipe == null ? Path.of("") : Paths.read(pipe, scalars),
                new PcmFormat(sampleRate, bits, channels, channel),
                freewheel);
    }
}
