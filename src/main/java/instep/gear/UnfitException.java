package instep.gear;

import java.io.Serial;

/** What a link needs on this machine is not there or not fit for use: a certificate, a secret. The message is a sentence for a person. */
public final class UnfitException extends Exception {
    @Serial
    private static final long serialVersionUID = 1L;

    UnfitException(String why) {
        super(why);
    }

    String why() {
        return String.valueOf(getMessage());
    }
}
