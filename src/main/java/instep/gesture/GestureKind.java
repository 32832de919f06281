package instep.gesture;

import java.util.Arrays;
import java.util.Optional;

/** What a contact can do that is worth a name. */
public enum GestureKind {
    /** Closed: fires at once on every closing, whatever follows. */
    PRESS(0, "press"),
    /** Opened. */
    RELEASE(1, "release"),
    /** Opened before the hold threshold. */
    TAP(2, "tap"),
    /** Closed for the second time within the window. */
    DOUBLE_TAP(3, "double-tap"),
    /** Closed for the third time within the window. */
    TRIPLE_TAP(4, "triple-tap"),
    /** Closed for the threshold; {@code hold 2s} names another threshold than the contact's own. */
    HOLD(5, "hold"),
    /** Opened after a hold. */
    HOLD_END(6, "hold-end"),
    /** Every other press, from the first. */
    LATCH_ON(7, "latch-on"),
    /** The presses between. */
    LATCH_OFF(8, "latch-off");

    private final int number;
    private final String word;

    GestureKind(int number, String word) {
        this.number = number;
        this.word = word;
    }

    /** Its place among the gestures of a contact, from 0. */
    int number() {
        return number;
    }

    /** The word in a configuration and in the journal. */
    public String word() {
        return word;
    }

    /** The kind of that place. */
    static GestureKind numbered(int number) {
        return Arrays.stream(values())
                .filter(k -> k.number == number)
                .findFirst()
                .orElseThrow();
    }

    /** The kind of that word; empty if there is none. */
    public static Optional<GestureKind> named(String word) {
        return Arrays.stream(values()).filter(k -> k.word.equals(word)).findFirst();
    }
}
