package instep.desk;

import io.netty.handler.codec.http.FullHttpResponse;
import io.netty.handler.codec.http.HttpHeaderNames;
import io.netty.handler.codec.http.HttpHeaders;
import io.netty.handler.codec.http.HttpRequest;
import io.netty.handler.codec.http.HttpResponseStatus;
import io.netty.handler.codec.http.TooLongHttpHeaderException;
import io.netty.handler.codec.http.TooLongHttpLineException;
import io.netty.util.NetUtil;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * Who may ask at all. A page of another site that a browser in the studio shows cannot: its requests have another origin (RFC 6454), and where it has made its own name lead
 * here, that name for a host.
 */
final class Gate {
    private final List<String> names;

    /** The page may be asked for by these names, too. */
    Gate(List<String> names) {
        this.names = names;
    }

    /** What is answered to one who may not ask; empty if they may. */
    Optional<FullHttpResponse> refusal(HttpRequest request, InetSocketAddress local) {
        if (!request.decoderResult().isSuccess()) {
            return Optional.of(unreadable(request.decoderResult().cause()));
        }
        if (request.headers().getAll(HttpHeaderNames.HOST).size() != 1) { // RFC 9112, section 3.2
            return Optional.of(Answers.words(HttpResponseStatus.BAD_REQUEST, "expected one Host"));
        }
        String host = Target.of(request).host();
        if (!isOurs(host, local.getAddress())) {
            return forbidden("this desk is not called that: ask for its address, or give it that name (desk: names)");
        }
        if (!isOurOrigin(request.headers(), host)) {
            return forbidden("pages of other sites may not ask here");
        }
        return Optional.empty();
    }

    private static FullHttpResponse unreadable(Throwable cause) {
        if (cause instanceof TooLongHttpLineException) {
            return Answers.words(HttpResponseStatus.REQUEST_URI_TOO_LONG, "the first line is too long");
        }
        if (cause instanceof TooLongHttpHeaderException) {
            return Answers.words(HttpResponseStatus.REQUEST_HEADER_FIELDS_TOO_LARGE, "the headers are too long");
        }
        return Answers.words(HttpResponseStatus.BAD_REQUEST, "this is no HTTP request that can be read");
    }

    private static Optional<FullHttpResponse> forbidden(String words) {
        return Optional.of(Answers.words(HttpResponseStatus.FORBIDDEN, words));
    }

    /** The port does not count: a tunnel may have given it another. */
    private boolean isOurs(String host, InetAddress local) {
        int colon = host.lastIndexOf(':');
        boolean port = colon > host.lastIndexOf(']') && colon > 0;
        String name = (port ? host.substring(0, colon) : host).toLowerCase(Locale.ROOT);
        if (name.equals("localhost") || names.contains(name)) {
            return true;
        }
        boolean brackets = name.startsWith("[") && name.endsWith("]");
        byte[] address =
                NetUtil.createByteArrayFromIpAddressString(brackets ? name.substring(1, name.length() - 1) : name);
        return address != null && Arrays.equals(address, local.getAddress());
    }

    /** Where the browser says it (Fetch Metadata, W3C), only being led here may begin on another site. */
    private static boolean isOurOrigin(HttpHeaders headers, String host) {
        List<String> origins = headers.getAll(HttpHeaderNames.ORIGIN);
        boolean same = origins.stream().allMatch(o -> o.equals("http://" + host) || o.equals("https://" + host));
        String site = headers.get("Sec-Fetch-Site", "none");
        boolean led = headers.get("Sec-Fetch-Mode", "").equals("navigate")
                && headers.get("Sec-Fetch-Dest", "").equals("document");
        return same && (site.equals("none") || site.equals("same-origin") || (led && origins.isEmpty()));
    }
}
