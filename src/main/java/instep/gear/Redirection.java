package instep.gear;

import java.net.URI;
import java.net.URISyntaxException;
import java.util.Locale;
import java.util.Optional;

/** Where a server's {@code Location} leads (RFC 9110, section 10.2.2). */
final class Redirection {
    private Redirection() {}

    /** Makes it the request that its answer asks for, or notes in it why it is left as it is. */
    static boolean follows(Exchange exchange, GearSettings.Http gear) {
        if (!gear.access().follow()) {
            exchange.stay("; it is not followed without follow: true");
            return false;
        }
        Optional<String> target = target(gear, exchange.target(), exchange.location());
        if (target.isEmpty()) {
            exchange.stay("; only what stays at " + Reasons.where(gear.host(), gear.port()) + " is followed");
            return false;
        }
        if (!exchange.redirect(target.get())) {
            exchange.stay("; it is not followed, since it could do something else than was asked");
            return false;
        }
        return true;
    }

    /** The target on the same server, by the same scheme, host and port, as seen from another; empty if it leads elsewhere or nowhere. */
    static Optional<String> target(GearSettings.Http gear, String from, String location) {
        try {
            boolean tls = gear.access().tls().isPresent();
            String scheme = tls ? "https" : "http";
            URI here = new URI(scheme + "://" + Reasons.where(gear.host(), gear.port()) + from);
            URI there = here.resolve(new URI(location));
            int usual = tls ? 443 : 80;
            boolean same = scheme.equals(lower(there.getScheme()))
                    && lower(here.getHost()).equals(lower(there.getHost()))
                    && gear.port() == (there.getPort() < 0 ? usual : there.getPort())
                    && there.getRawUserInfo() == null;
            if (location.isEmpty() || !same || there.getRawPath() == null) {
                return Optional.empty();
            }
            String path = there.getRawPath().isEmpty() ? "/" : there.getRawPath();
            return Optional.of(path + (there.getRawQuery() == null ? "" : "?" + there.getRawQuery()));
        } catch (URISyntaxException | IllegalArgumentException e) {
            return Optional.empty();
        }
    }

    private static String lower(String text) {
        return String.valueOf(text).toLowerCase(Locale.ROOT);
    }
}
