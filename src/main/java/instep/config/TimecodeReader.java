package instep.config;

import instep.config.TimecodeSettings.Source;
import instep.input.DeviceMatch;
import instep.input.PedalSettings;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** Reads {@code timecode}: rate, source, and what belongs to the source. */
final class TimecodeReader {
    static final List<String> KEYS = Stream.of(
                    List.of("rate", "source", "start"), LtcReader.KEYS, List.of("match", "gear", "freewheel"))
            .flatMap(List::stream)
            .toList();
    static final Map<String, Source> SOURCES = new LinkedHashMap<>();
    static final Map<String, FrameRate> RATES = new LinkedHashMap<>();
    private static final Pattern LABEL = Pattern.compile("(\\d\\d):(\\d\\d):(\\d\\d)([:;])(\\d\\d)");

    static {
        Stream.of(Source.values()).forEach(source -> SOURCES.put(source.word(), source));
        FrameRate.labels().forEach(l -> FrameRate.named(l).ifPresent(r -> RATES.put(l, r)));
    }

    /** What is read on with after a fault. */
    private static final FrameRate FALLBACK = FrameRate.R25;

    private static final long FREEWHEEL = 2_000_000_000L;
    /** Gear is asked now and then only. */
    private static final long FREEWHEEL_OF_GEAR = 10_000_000_000L;

    private TimecodeReader() {}

    static TimecodeSettings read(Node.@Nullable Entry section, Scalars scalars) {
        if (section == null) {
            return new TimecodeSettings(FALLBACK, Source.TIME_OF_DAY, new Timecode(FALLBACK, 0), null, null, null);
        }
        Fields fields = Fields.of(section.place(), "timecode", section.value(), KEYS, scalars);
        fields.require("rate", "expected one of " + Words.either(RATES.keySet()));
        FrameRate rate = fields.word("rate", RATES, FALLBACK);
        int before = scalars.faults().count();
        Source source = fields.word("source", SOURCES, Source.TIME_OF_DAY);
        boolean isKnown = scalars.faults().count() == before;
        boolean mayRefuse = isKnown && !fields.isBroken();
        if (mayRefuse) {
            refuse(fields, source);
        }
        Node start = fields.get("start");
        Timecode first = new Timecode(rate, source == Source.COUNT_UP ? rate.framesPerDay() / 24 : 0);
        // Frames in it are those of the very rate that stands beside it.
        Scalars times = new Scalars(scalars.faults(), rate);
        Node wheel = fields.get("freewheel");
        long usual = source == Source.GEAR ? FREEWHEEL_OF_GEAR : FREEWHEEL;
        long freewheel = wheel == null || !source.isOutside() ? usual : times.nanos(wheel, usual);
        return new TimecodeSettings(
                rate,
                source,
                start == null ? first : label(start, rate, scalars).orElse(first),
                source == Source.LTC ? LtcReader.read(fields, freewheel, scalars) : null,
                source == Source.MTC ? midi(fields, freewheel, scalars) : null,
                source == Source.GEAR ? reported(fields, freewheel, scalars) : null);
    }

    /** Keys of a source that it is not. */
    private static void refuse(Fields fields, Source source) {
        if (source != Source.COUNT_UP) {
            fields.refuse("start", "only source: count-up has a start");
        }
        if (source != Source.LTC) {
            LtcReader.KEYS.forEach(key -> fields.refuse(key, "only source: ltc has it"));
        }
        if (source != Source.MTC) {
            fields.refuse("match", "only source: mtc has it");
        }
        if (source != Source.GEAR) {
            fields.refuse("gear", "only source: gear has it");
        }
        if (!source.isOutside()) {
            fields.refuse("freewheel", "only sources from outside have it: ltc, mtc and gear");
        }
    }

    private static MidiTimecodeSettings midi(Fields fields, long freewheel, Scalars scalars) {
        Node match = fields.require("match", "expected the MIDI device, such as { name: \"*Clock*\" }");
        return new MidiTimecodeSettings(match == null ? MatchReader.ANY : MatchReader.read(match, scalars), freewheel);
    }

    private static ReportedTimecodeSettings reported(Fields fields, long freewheel, Scalars scalars) {
        Node gear = fields.require("gear", "expected the name of the gear whose timecode counts");
        return new ReportedTimecodeSettings(gear == null ? "" : scalars.text(gear, "the name of gear", ""), freewheel);
    }

    /** Whether the gear that is named exists and says its timecode; to be asked when all gear has been read. */
    static void checkGear(Node.@Nullable Entry section, Scope scope, Predicate<String> tellsTimecode) {
        Node named = in(section, "gear");
        if (!(named instanceof Node.Scalar scalar) || scalar.isNull()) {
            return;
        }
        scope.gear().refer(scalar.text(), named.place());
        if (scope.gear().has(scalar.text()) && !tellsTimecode.test(scalar.text())) {
            String fault = " says no timecode; expected timecode: in one of its replies";
            scope.faults().add(named.place(), Words.quote(scalar.text()) + fault);
        }
    }

    /** Whether timecode and a pedal would want one MIDI device, which has one reader; to be asked when all pedals have been read. */
    static void checkPedals(
            Node.@Nullable Entry section, TimecodeSettings timecode, List<PedalSettings> pedals, Faults faults) {
        Node match = in(section, "match");
        if (match == null || timecode.midi() == null || timecode.midi().match().equals(MatchReader.ANY)) {
            return;
        }
        DeviceMatch own = timecode.midi().match();
        for (PedalSettings pedal : pedals) {
            if (pedal instanceof PedalSettings.Midi midi
                    && (own.covers(midi.match()) || midi.match().covers(own))) {
                faults.add(
                        match.place(),
                        "the device of pedal " + Words.quote(pedal.name())
                                + " is matched here, too, but one MIDI device has one reader; expected another device, or a match that tells the two apart");
            }
        }
    }

    private static @Nullable Node in(Node.@Nullable Entry section, String key) {
        return section != null && section.value() instanceof Node.Mapping map
                ? map.entries().stream()
                        .filter(entry -> entry.name().equals(key))
                        .map(Node.Entry::value)
                        .findFirst()
                        .orElse(null)
                : null;
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
