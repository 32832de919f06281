package instep.desk;

import io.netty.buffer.Unpooled;
import io.netty.handler.codec.http.DefaultFullHttpResponse;
import io.netty.handler.codec.http.DefaultHttpResponse;
import io.netty.handler.codec.http.FullHttpResponse;
import io.netty.handler.codec.http.HttpHeaderNames;
import io.netty.handler.codec.http.HttpHeaders;
import io.netty.handler.codec.http.HttpResponse;
import io.netty.handler.codec.http.HttpResponseStatus;
import io.netty.handler.codec.http.HttpVersion;
import java.nio.charset.StandardCharsets;

/** What is answered to requests (RFC 9110), each with the headers that keep a browser from doing anything else with it. */
final class Answers {
    static final String TEXT = "text/plain; charset=utf-8";

    /** Content Security Policy Level 3: nothing but what comes from here, nothing that stands in the page itself, in nobody's frame. */
    private static final String POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; "
            + "base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

    private Answers() {}

    /** A sentence for a person. */
    static FullHttpResponse words(HttpResponseStatus status, String words) {
        return of(status, TEXT, (words + "\n").getBytes(StandardCharsets.UTF_8));
    }

    static FullHttpResponse of(HttpResponseStatus status, String type, byte[] body) {
        FullHttpResponse response =
                new DefaultFullHttpResponse(HttpVersion.HTTP_1_1, status, Unpooled.wrappedBuffer(body));
        guard(response.headers()).set(HttpHeaderNames.CONTENT_TYPE, type);
        response.headers().setInt(HttpHeaderNames.CONTENT_LENGTH, body.length);
        return response;
    }

    /** The head of a stream of events (HTML Living Standard, section 9.2). */
    static HttpResponse stream() {
        HttpResponse response = new DefaultHttpResponse(HttpVersion.HTTP_1_1, HttpResponseStatus.OK);
        guard(response.headers()).set(HttpHeaderNames.CONTENT_TYPE, "text/event-stream; charset=utf-8");
        return response;
    }

    /** To another page. */
    static FullHttpResponse seeOther(String path) {
        FullHttpResponse response = words(HttpResponseStatus.SEE_OTHER, "see " + path);
        response.headers().set(HttpHeaderNames.LOCATION, path);
        return response;
    }

    private static HttpHeaders guard(HttpHeaders headers) {
        return headers.set("Content-Security-Policy", POLICY)
                .set("X-Content-Type-Options", "nosniff")
                .set("X-Frame-Options", "DENY")
                // Without any referrer, a form of this page would say that its origin is null (Fetch Standard, section 3.2).
                .set("Referrer-Policy", "same-origin")
                .set("Cross-Origin-Resource-Policy", "same-origin")
                .set("Cross-Origin-Opener-Policy", "same-origin")
                .set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
                .set(HttpHeaderNames.CACHE_CONTROL, "no-store");
    }
}
