package instep.gear;

import instep.machine.Template;
import instep.machine.Values;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufAllocator;
import io.netty.buffer.ByteBufUtil;
import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;

/** Requests of HTTP/1.1 (RFC 9112), whole in one buffer. */
final class HttpEncoder implements Wire.Encoder {
    /** They say how the message is framed, so nobody else may. */
    private static final Set<String> OURS = Set.of("content-length", "transfer-encoding", "connection");

    private static final Set<String> WITH_CONTENT = Set.of("PUT", "POST", "PATCH");

    /** Its values are percent-encoded (WHATWG URL, section 5). */
    static final String FORM = "application/x-www-form-urlencoded";

    private static final int USUAL_HEAD_BYTES = 256;

    private final GearSettings.Http gear;
    private final String authorization;
    private final Secrets secrets;

    /** Encodes for one server; {@code authorization} is the value of that header, empty for none. */
    HttpEncoder(GearSettings.Http gear, String authorization) {
        this(gear, authorization, Secrets.NONE);
    }

    /** The same, with secrets that may stand in the gear's own headers. */
    HttpEncoder(GearSettings.Http gear, String authorization, Secrets secrets) {
        this.gear = gear;
        this.authorization = authorization;
        this.secrets = secrets;
    }

    /** Host and, unless it is the usual one, port (RFC 9110, section 7.2). */
    static String host(GearSettings.Networked gear, boolean tls) {
        String where = Reasons.where(gear.host(), gear.port());
        return gear.port() == (tls ? 443 : 80) ? where.substring(0, where.lastIndexOf(':')) : where;
    }

    @Override
    public Wire encode(Payload payload, Values values) {
        if (!(payload instanceof Payload.Http request)) {
            throw new IllegalArgumentException("an HTTP gear takes HTTP requests, nothing else");
        }
        String target = visible(gear.basePath() + request.target().expand(values));
        Map<String, String> headers = headers(request, Render.oneLine(values));
        String body = body(request, values);
        int bodyBytes = ByteBufUtil.utf8Bytes(body);
        ByteBuf out = ByteBufAllocator.DEFAULT.directBuffer(USUAL_HEAD_BYTES + bodyBytes);
        ByteBufUtil.writeUtf8(out, request.method() + ' ' + target + " HTTP/1.1\r\n");
        ByteBufUtil.writeUtf8(
                out, "Host: " + headers.remove("Host") + "\r\n"); // first, as RFC 9110, section 7.2 advises
        headers.forEach((name, value) -> ByteBufUtil.writeUtf8(out, name + ": " + value + "\r\n"));
        if (bodyBytes > 0 || WITH_CONTENT.contains(request.method())) {
            ByteBufUtil.writeAscii(out, "Content-Length: " + bodyBytes + "\r\n");
        }
        ByteBufUtil.writeAscii(out, "\r\n");
        ByteBufUtil.writeUtf8(out, body);
        return new Wire(out, Render.line(request.method() + ' ' + target + (body.isEmpty() ? "" : ' ' + body)));
    }

    private static String body(Payload.Http request, Values values) {
        if (request.body() == null) {
            return "";
        }
        String type = String.valueOf(request.contentType()).toLowerCase(Locale.ROOT);
        if (type.equals(FORM)) {
            return request.body().render(values, Template.Escape.URI);
        }
        return request.body().render(values, type.contains("json") ? Template.Escape.JSON : Template.Escape.NONE);
    }

    /** The request's own headers win over the gear's, the gear's over what we would say. */
    private Map<String, String> headers(Payload.Http request, Values values) {
        Map<String, String> all = new TreeMap<>(String.CASE_INSENSITIVE_ORDER);
        all.put("Host", host(gear, gear.access().tls().isPresent()));
        all.put("User-Agent", "instep");
        if (request.contentType() != null) {
            all.put("Content-Type", request.contentType());
        }
        if (!authorization.isEmpty()) {
            all.put("Authorization", authorization);
        }
        gear.headers().forEach((name, value) -> put(all, name, secrets.fill(value)));
        request.headers().forEach((name, value) -> put(all, name, value.render(values, Template.Escape.NONE)));
        return all;
    }

    /** The same request to another target of the same server; for a GET in place of something else, without its body. */
    static Wire redirected(Wire request, String method, String target) {
        String whole = request.bytes().toString(StandardCharsets.UTF_8);
        int head = whole.indexOf("\r\n\r\n") + 2;
        boolean same = whole.startsWith(method + ' ');
        StringBuilder text = new StringBuilder(method + ' ' + visible(target) + " HTTP/1.1\r\n");
        whole.substring(whole.indexOf("\r\n") + 2, head)
                .lines()
                .filter(line -> same || !line.toLowerCase(Locale.ROOT).startsWith("content-"))
                .forEach(line -> text.append(line).append("\r\n"));
        text.append(same ? whole.substring(head) : "\r\n");
        ByteBuf out = ByteBufAllocator.DEFAULT.directBuffer(text.length());
        ByteBufUtil.writeUtf8(out, text);
        return new Wire(out, Render.line(method + ' ' + target));
    }

    private static void put(Map<String, String> all, String name, String value) {
        if (name.isEmpty() || !name.chars().allMatch(HttpEncoder::isTokenCharacter)) {
            throw new IllegalArgumentException("HTTP allows no header of the name \"" + Render.line(name) + '"');
        }
        if (!OURS.contains(name.toLowerCase(Locale.ROOT))) {
            all.remove(name);
            all.put(name, Render.spaced(value));
        }
    }

    /** RFC 9110, section 5.6.2. */
    private static boolean isTokenCharacter(int c) {
        return c < 0x80 && (Character.isLetterOrDigit(c) || "!#$%&'*+-.^_`|~".indexOf(c) >= 0);
    }

    /** A request line has no room for spaces or other than visible ASCII: such bytes are percent-encoded (RFC 3986, section 2.1). */
    private static String visible(String target) {
        StringBuilder out = new StringBuilder(target.startsWith("/") ? "" : "/");
        for (byte b : target.getBytes(StandardCharsets.UTF_8)) {
            if (b > ' ' && b < 0x7f) {
                out.append((char) b);
            } else {
                out.append(String.format("%%%02X", b & 0xff));
            }
        }
        return out.toString();
    }
}
