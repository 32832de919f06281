package instep.edit;

import java.net.URI;
import java.net.URISyntaxException;

/** File names as references of RFC 3986. */
final class Urls {
    private Urls() {}

    /** An absolute path becomes a {@code file:} URL, a relative one stays relative. */
    static String of(String file) {
        try {
            return file.startsWith("/")
                    ? new URI("file", "", file, null).toASCIIString()
                    : new URI(null, null, file.indexOf(':') < 0 ? file : "./" + file, null).toASCIIString();
        } catch (URISyntaxException e) {
            throw new IllegalArgumentException(file, e);
        }
    }
}
