package instep.config;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;

/** What the signal of a contact can be: the key that names it, and those that may stand beside it. */
enum SignalKind {
    KEY("key", "a key", Way.EVENTS),
    AXIS("axis", "an axis", Way.EVENTS),
    WHEEL("wheel", "a wheel", Way.EVENTS),
    USAGE("usage", "a usage", Way.REPORTS),
    BYTE("byte", "a byte", Way.REPORTS),
    NOTE("note", "a note", Way.MIDI),
    CONTROLLER("controller", "a controller", Way.MIDI),
    PROGRAM("program", "a program", Way.MIDI);

    /** How a device is read. */
    enum Way {
        EVENTS,
        REPORTS,
        MIDI
    }

    private final String key;
    private final String words;
    private final Way way;

    SignalKind(String key, String words, Way way) {
        this.key = key;
        this.words = words;
        this.way = way;
    }

    private List<String> beside() {
        return switch (this) {
            case KEY -> List.of();
            case AXIS -> joined(ThresholdReader.KEYS, List.of("moves"));
            case WHEEL -> List.of("step");
            case USAGE -> joined(List.of("report"), joined(ThresholdReader.KEYS, List.of("moves")));
            case BYTE -> List.of("report", "bit", "mask", "equals");
            case NOTE, PROGRAM -> List.of("channel");
            case CONTROLLER -> joined(List.of("channel"), joined(ThresholdReader.KEYS, List.of("moves")));
        };
    }

    private static List<String> joined(List<String> some, List<String> more) {
        return Stream.concat(some.stream(), more.stream()).toList();
    }

    /** All keys that say something of signals: those that name one, then those that may stand beside them. */
    static List<String> keys() {
        return Stream.concat(
                        Arrays.stream(values()).map(SignalKind::key),
                        Arrays.stream(values()).flatMap(kind -> kind.beside().stream()))
                .distinct()
                .toList();
    }

    /** The kind that the fields are of: the first that is named, or else the one that what is there belongs to. */
    static Optional<SignalKind> of(Fields fields) {
        Optional<SignalKind> named =
                Arrays.stream(values()).filter(kind -> fields.has(kind.key)).findFirst();
        return named.isPresent()
                ? named
                : Stream.of(BYTE, WHEEL, AXIS, NOTE)
                        .filter(kind -> kind.beside().stream().anyMatch(fields::has))
                        .findFirst();
    }

    String key() {
        return key;
    }

    /** How the device is read that has it. */
    Way way() {
        return way;
    }

    /** Notes the keys that make no sense beside this one. */
    void refuseOthers(Fields fields) {
        keys().stream()
                .filter(other -> !other.equals(key) && !beside().contains(other))
                .forEach(other -> fields.refuse(other, words + " is given"));
    }
}
