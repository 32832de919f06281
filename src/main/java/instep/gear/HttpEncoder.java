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
    private static final int USUAL_HEAD_BYTES = 256;

    private final GearSettings.Http gear;
    private final String host;

    /** Encodes for one server. */
    HttpEncoder(GearSettings.Http gear) {
        this.gear = gear;
        String where = Reasons.where(gear.host(), gear.port());
        this.host = gear.port() == 80 ? where.substring(0, where.length() - ":80".length()) : where;
    }

    @Override
    public Wire encode(Payload payload, Values values) {
        if (!(payload instanceof Payload.Http request)) {
            throw new IllegalArgumentException("an HTTP gear takes HTTP requests, nothing else");
        }
        String target = visible(gear.basePath() + request.target().render(values, Template.Escape.URI));
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
        String type = request.contentType();
        boolean json = type != null && type.toLowerCase(Locale.ROOT).contains("json");
        return request.body().render(values, json ? Template.Escape.JSON : Template.Escape.NONE);
    }

    /** The request's own headers win over the gear's, the gear's over what we would say. */
    private Map<String, String> headers(Payload.Http request, Values values) {
        Map<String, String> all = new TreeMap<>(String.CASE_INSENSITIVE_ORDER);
        all.put("Host", host);
        all.put("User-Agent", "instep");
        if (request.contentType() != null) {
            all.put("Content-Type", request.contentType());
        }
        gear.headers().forEach((name, value) -> put(all, name, value));
        request.headers().forEach((name, value) -> put(all, name, value.render(values, Template.Escape.NONE)));
        return all;
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
