package instep.gear;

import java.nio.charset.StandardCharsets;
import java.util.Base64;
import java.util.List;

/** How we tell a web server who we are. It holds the name of a secret, never the secret. */
public sealed interface Login {
    /** Where the secret comes from. */
    Secret secret();

    /** User and password (RFC 7617); UTF-8. */
    record Basic(String user, Secret secret) implements Login {}

    /** A token (RFC 6750, section 2.1). */
    record Bearer(Secret secret) implements Login {}

    /**
     * A login with its secret read: goes on the wire and nowhere else.
     *
     * @param authorization the value of that header (RFC 9110, section 11.6.2)
     * @param hidden texts that must not appear anywhere, even if the gear repeats them
     */
    record Spoken(String authorization, List<String> hidden) {
        /** Reads the secret; blocks on its file. */
        static Spoken of(Login login) throws UnfitException {
            String secret = login.secret().read();
            if (login instanceof Basic basic) {
                String encoded = base64(basic.user() + ":" + secret);
                return new Spoken("Basic " + encoded, List.of(encoded, secret, base64(secret)));
            }
            return new Spoken("Bearer " + secret, List.of(secret, base64(secret)));
        }

        private static String base64(String text) {
            return Base64.getEncoder().encodeToString(text.getBytes(StandardCharsets.UTF_8));
        }

        /** Says nothing of what it holds. */
        @Override
        public String toString() {
            return "Spoken[…]";
        }
    }
}
