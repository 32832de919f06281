package instep.gear;

import java.io.IOException;
import java.io.Serial;

/** The other side is there, but does not want what we want. The message completes a sentence about it. */
final class DeclinedException extends IOException {
    @Serial
    private static final long serialVersionUID = 1L;

    DeclinedException(String what) {
        super(what);
    }

    String what() {
        return String.valueOf(getMessage());
    }
}
