package instep.desk;

import io.netty.handler.codec.http.HttpHeaderNames;
import io.netty.handler.codec.http.HttpHeaders;
import io.netty.handler.codec.http.cookie.CookieHeaderNames.SameSite;
import io.netty.handler.codec.http.cookie.DefaultCookie;
import io.netty.handler.codec.http.cookie.ServerCookieDecoder;
import io.netty.handler.codec.http.cookie.ServerCookieEncoder;
import java.net.InetAddress;
import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.security.MessageDigest;
import java.util.Base64;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import javax.crypto.Mac;
import javax.crypto.spec.SecretKeySpec;

/**
 * Who knows the token. It is said once; from then on the browser has a cookie that follows from the token and does not tell it, so that a page which is shown for months
 * outlives a start of the program, and not another token; it is given anew with each view. Desk thread only.
 */
final class Entrance {
    static final int SHORTEST_TOKEN = 16;
    private static final String COOKIE = "instep-desk";
    private static final String BEARER = "Bearer ";
    private static final int MOST_ADDRESSES = 256;
    private static final long COOKIE_SECONDS = 90L * 24 * 60 * 60;

    private final byte[] token;
    private final byte[] cookie;
    private final WrongTokens wrong;
    private final Turnstile all = Turnstile.ofAll();
    /** Those of the addresses that tried one last. */
    private final Map<InetAddress, Turnstile> turnstiles = new LinkedHashMap<>(16, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<InetAddress, Turnstile> eldest) {
            return size() > MOST_ADDRESSES;
        }
    };

    /**
     * Somebody who asks.
     *
     * @param from where they are
     * @param nanos when they do
     */
    record Asker(InetAddress from, long nanos) {}

    /** An empty token: everybody may enter. */
    Entrance(String token, WrongTokens wrong) {
        this.token = bytes(token);
        this.wrong = wrong;
        this.cookie = token.isEmpty() ? new byte[0] : bytes(seal(token));
    }

    /** Where those at that address have to wait until a token is looked at. */
    Turnstile turnstile(InetAddress from) {
        return turnstiles.computeIfAbsent(from, address -> all.ofOne());
    }

    boolean isOpen() {
        return token.length == 0;
    }

    /** Whether a request bears the cookie. */
    boolean hasCookie(HttpHeaders headers) {
        List<String> given = headers.getAll(HttpHeaderNames.COOKIE);
        return given.stream()
                .flatMap(text -> ServerCookieDecoder.STRICT.decodeAll(text).stream())
                .filter(c -> c.name().equals(COOKIE))
                .anyMatch(c -> MessageDigest.isEqual(bytes(c.value()), cookie));
    }

    /** Whether a request has a token of its own, as a monitor's has (RFC 6750, section 2.1). */
    static boolean bearsToken(HttpHeaders headers) {
        return headers.contains(HttpHeaderNames.AUTHORIZATION);
    }

    boolean bears(HttpHeaders headers, Asker asker) {
        String given = headers.get(HttpHeaderNames.AUTHORIZATION, "");
        boolean bearer = given.regionMatches(true, 0, BEARER, 0, BEARER.length());
        return says(bearer ? given.substring(BEARER.length()).strip() : "", asker);
    }

    /** Looks at a token; takes as long for a wrong one as for the right one. */
    boolean says(String text, Asker asker) {
        boolean right = MessageDigest.isEqual(bytes(text), token);
        if (!right) {
            turnstile(asker.from()).wrong(asker.nanos());
            wrong.wrong(asker.from(), asker.nanos());
        }
        return right;
    }

    /** What to set as a cookie (RFC 6265): not for scripts, and not sent along from other sites. */
    String cookie() {
        DefaultCookie set = new DefaultCookie(COOKIE, new String(cookie, StandardCharsets.UTF_8));
        set.setHttpOnly(true);
        set.setSameSite(SameSite.Strict);
        set.setPath("/");
        set.setMaxAge(COOKIE_SECONDS);
        return ServerCookieEncoder.STRICT.encode(set);
    }

    private static String seal(String token) {
        try {
            Mac mac = Mac.getInstance("HmacSHA256");
            mac.init(new SecretKeySpec(bytes(token), "HmacSHA256"));
            return Base64.getUrlEncoder().withoutPadding().encodeToString(mac.doFinal(bytes("instep desk page")));
        } catch (GeneralSecurityException e) {
            throw new IllegalStateException("every Java has HMAC with SHA-256", e);
        }
    }

    private static byte[] bytes(String text) {
        return text.getBytes(StandardCharsets.UTF_8);
    }
}
