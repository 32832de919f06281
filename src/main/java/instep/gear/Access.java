package instep.gear;

import java.util.Optional;

/**
 * On what terms a web server is spoken to.
 *
 * @param tls empty: in the clear
 * @param login how we say who we are; empty: not at all
 * @param follow whether a redirection within the same server is followed
 */
public record Access(Optional<Tls> tls, Optional<Login> login, boolean follow) {
    /** In the clear, as anybody, straight on. */
    public static final Access OPEN = new Access(Optional.empty(), Optional.empty(), false);

    /** The same in the clear and as anybody, as a stand-in is spoken to. */
    Access inTheClear() {
        return new Access(Optional.empty(), Optional.empty(), follow);
    }

    /** The value of that header, whose secret is shown to nobody from here on; empty if there is no login. Blocks on the secret's file. */
    String authorization(Report report) throws UnfitException {
        if (login.isEmpty()) {
            return "";
        }
        Login.Spoken spoken = Login.Spoken.of(login.get());
        report.hide(spoken.hidden());
        return spoken.authorization();
    }
}
