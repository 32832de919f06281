package instep.config;

import instep.config.TimecodeSettings.Source;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** Reads {@code timecode}: rate, source, and what belongs to the source. */
final class TimecodeReader {
    static final List<String> KEYS = Stream.concat(Stream.of("rate", "source", "start"), LtcReader.KEYS.stream())
            .toList();
    static final Map<String, Source> SOURCES = new LinkedHashMap<>();
    static final Map<String, FrameRate> RATES = new LinkedHashMap<>();
    private static final Pattern LABEL = Pattern.compile("(\\d\\d):(\\d\\d):(\\d\\d)([:;])(\\d\\d)");

    static {
        SOURCES.put("time-of-day", Source.TIME_OF_DAY);
        SOURCES.put("count-up", Source.COUNT_UP);
        SOURCES.put("ltc", Source.LTC);
        FrameRate.labels().forEach(l -> FrameRate.named(l).ifPresent(r -> RATES.put(l, r)));
    }

    /** What is read on with after a fault. */
    private static final FrameRate FALLBACK = FrameRate.R25;

    private TimecodeReader() {}

    static TimecodeSettings read(Node.@Nullable Entry section, Scalars scalars) {
        if (section == null) {
            return new TimecodeSettings(FALLBACK, Source.TIME_OF_DAY, new Timecode(FALLBACK, 0), null);
        }
        Fields fields = Fields.of(section.place(), "timecode", section.value(), KEYS, scalars);
        fields.require("rate", "expected one of " + Words.either(RATES.keySet()));
        FrameRate rate = fields.word("rate", RATES, FALLBACK);
        int before = scalars.faults().count();
        Source source = fields.word("source", SOURCES, Source.TIME_OF_DAY);
        boolean isKnown = scalars.faults().count() == before;
        boolean mayRefuse = isKnown && !fields.isBroken();
        if (source != Source.COUNT_UP && mayRefuse) {
            fields.refuse("start", "only source: count-up has a start");
        }
        if (source != Source.LTC && mayRefuse) {
            LtcReader.refuse(fields);
        }
        Node start = fields.get("start");
        Timecode first = new Timecode(rate, source == Source.COUNT_UP ? rate.framesPerDay() / 24 : 0);
        return new TimecodeSettings(
                rate,
                source,
                start == null ? first : label(start, rate, scalars).orElse(first),
                source == Source.LTC ? LtcReader.read(fields, rate, scalars) : null);
    }

    static Optional<Timecode> label(Node node, FrameRate rate, Scalars scalars) {
        String form = "a label such as \"01:00:00" + (rate.isDropFrame() ? ";" : ":") + "00\"";
        String text = scalars.text(node, form, "");
        Matcher label = LABEL.matcher(text);
        if (!label.matches()) {
            if (!text.isEmpty()) {
                scalars.expected(node, form);
            }
            return Optional.empty();
        }
        int hours = Integer.parseInt(label.group(1));
        int minutes = Integer.parseInt(label.group(2));
        int seconds = Integer.parseInt(label.group(3));
        int frames = Integer.parseInt(label.group(5));
        if (hours > 23 || minutes > 59 || seconds > 59 || frames >= rate.counted()) {
            scalars.expected(node, "a label below 24:00:00:00 with frames below " + rate.counted());
            return Optional.empty();
        }
        if (!rate.isDropFrame() && label.group(4).equals(";")) {
            scalars.expected(node, "a colon before the frames, since " + rate.label() + " drops no labels");
            return Optional.empty();
        }
        if (seconds == 0 && minutes % 10 != 0 && frames < rate.dropped()) {
            scalars.expected(
                    node,
                    "a label that " + rate.label() + " counts; it drops the first " + rate.dropped()
                            + " of each minute but every tenth");
            return Optional.empty();
        }
        return Optional.of(Timecode.parse(text, rate));
    }
}
