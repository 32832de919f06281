package instep.journal;

import java.util.Arrays;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;

/** What sort of thing a record tells. The fields of each are specified in docs/journal.md. */
public enum Kind {
    START("start"),
    CONFIG("config"),
    EDGE("edge"),
    POSITION("position"),
    GESTURE("gesture"),
    TRANSITION("transition"),
    CUT("cut", true),
    CONFIRMED("confirmed", true),
    TAKE_OPEN("take-open", true),
    TAKE_CLOSE("take-close", true),
    MARK("mark", true),
    SENT("sent"),
    REPLY("reply"),
    MISSED("missed"),
    LINK("link"),
    DEVICE("device"),
    SYNC("sync", true),
    FAULT("fault"),
    NOTE("note"),
    STANDING("standing"),
    STOP("stop");

    private static final Map<String, Kind> BY_WORD =
            Arrays.stream(values()).collect(Collectors.toUnmodifiableMap(Kind::word, kind -> kind));

    private final String word;
    private final boolean framed;

    Kind(String word) {
        this(word, false);
    }

    Kind(String word, boolean framed) {
        this.word = word;
        this.framed = framed;
    }

    /** The kind of that word; empty if there is none. */
    public static Optional<Kind> named(String word) {
        return Optional.ofNullable(BY_WORD.get(word));
    }

    /** The word in the journal. */
    public String word() {
        return word;
    }

    /** Whether its records carry the frame, counted on over midnight, beside the label. */
    public boolean isFramed() {
        return framed;
    }
}
