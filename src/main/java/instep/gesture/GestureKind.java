package instep.gesture;

import java.util.Arrays;
import java.util.Optional;

/** What a contact can do that is worth a name. */
public enum GestureKind {
    /** Closed: fires at once on every closing, whatever follows. */
    PRESS("press"),
    /** Opened. */
    RELEASE("release"),
    /** Opened before the hold threshold. */
    TAP("tap"),
    /** Closed for the second time within the window. */
    DOUBLE_TAP("double-tap"),
    /** Closed for the third time within the window. */
    TRIPLE_TAP("triple-tap"),
    /** Closed for the threshold; {@code hold 2s} names another threshold than the contact's own. */
    HOLD("hold"),
    /** Opened after a hold. */
    HOLD_END("hold-end"),
    /** Every other press, from the first. */
    LATCH_ON("latch-on"),
    /** The presses between. */
    LATCH_OFF("latch-off");

    private final String word;

    GestureKind(String word) {
        this.word = word;
    }

    /** The word in a configuration and in the journal. */
    public String word() {
        return word;
    }

    /** The kind of that word; empty if there is none. */
    public static Optional<GestureKind> named(String word) {
        return Arrays.stream(values()).filter(k -> k.word.equals(word)).findFirst();
    }
}
