package instep.desk;

import io.netty.handler.codec.http.HttpHeaderNames;
import io.netty.handler.codec.http.HttpRequest;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * What a request asks for, and whom: in absolute form, as it is sent to a proxy, the target says both, and Host is ignored (RFC 9112, section 3.2.2).
 *
 * @param path without the query
 * @param host with its port, if there is one
 */
record Target(String path, String host) {
    /** Nobody who asks here has a name before a sign @ (RFC 9110, section 4.2.4): that is no target. */
    private static final Pattern ABSOLUTE = Pattern.compile("(?i:https?)://([^/?#@]+)([^?]*)(\\?.*)?");

    static Target of(HttpRequest request) {
        Matcher absolute = ABSOLUTE.matcher(request.uri());
        if (absolute.matches()) {
            String path = absolute.group(2);
            return new Target(path.isEmpty() ? "/" : path, absolute.group(1));
        }
        int query = request.uri().indexOf('?');
        String path = query < 0 ? request.uri() : request.uri().substring(0, query);
        return new Target(path, request.headers().get(HttpHeaderNames.HOST, ""));
    }
}
