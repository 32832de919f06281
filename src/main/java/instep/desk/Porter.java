package instep.desk;

import io.netty.handler.codec.http.FullHttpRequest;
import io.netty.handler.codec.http.FullHttpResponse;
import io.netty.handler.codec.http.HttpHeaderNames;
import io.netty.handler.codec.http.HttpHeaders;
import io.netty.handler.codec.http.HttpMethod;
import io.netty.handler.codec.http.HttpResponseStatus;
import io.netty.handler.codec.http.QueryStringDecoder;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** Looks at each request, and says what is answered: who may not ask first, then who has not entered, then what is asked for. Desk thread only. */
final class Porter {
    static final String EVENTS = "/events";
    static final String METRICS = "/metrics";
    static final String HEALTH = "/health";
    static final String ENTER = "/enter";
    static final String ACKNOWLEDGE = "/acknowledge";
    private static final String LATER = "too many tokens are tried here at once; try again in a while";

    private final Gate gate;
    private final Entrance entrance;
    private final Board board;
    private final Runnable acknowledged;

    /** {@code acknowledged} is run when somebody has acknowledged a fault. */
    Porter(Gate gate, Entrance entrance, Board board, Runnable acknowledged) {
        this.gate = gate;
        this.entrance = entrance;
        this.board = board;
        this.acknowledged = acknowledged;
    }

    /** Who may have to wait until what is asked is looked at, since it is asked with a token; null: nobody. */
    @Nullable Turnstile before(FullHttpRequest request, InetAddress from) {
        boolean tries = Target.of(request).path().equals(ENTER) || Entrance.bearsToken(request.headers());
        return tries && !entrance.isOpen() && !entrance.hasCookie(request.headers()) ? entrance.turnstile(from) : null;
    }

    /** What is answered to a request of theirs that came in at that local address; null: the stream of events. */
    @Nullable FullHttpResponse answer(FullHttpRequest request, InetSocketAddress local, Entrance.Asker asker) {
        String path = Target.of(request).path();
        Optional<FullHttpResponse> refusal =
                gate.refusal(request, local).or(() -> unfit(request, path)).or(() -> stopped(request, path, asker));
        if (refusal.isPresent()) {
            return refusal.get();
        }
        return switch (path) {
            case EVENTS ->
                isGet(request) ? null : Answers.words(HttpResponseStatus.OK, "a stream of events goes on for ever");
            case METRICS -> metrics(request.headers());
            case HEALTH -> health();
            case ENTER -> enter(request, asker);
            case ACKNOWLEDGE -> acknowledge(field(request, "fault"));
            default -> file(request.headers(), path);
        };
    }

    /** Who looks at a view has its cookie anew, so that a screen which is looked at for years need not be let in again. */
    private FullHttpResponse file(HttpHeaders headers, String path) {
        Page page = Page.of(path);
        FullHttpResponse answer = Answers.of(HttpResponseStatus.OK, page.type(), page.body());
        if (Page.isView(path) && !entrance.isOpen() && entrance.hasCookie(headers)) {
            answer.headers().set(HttpHeaderNames.SET_COOKIE, entrance.cookie());
        }
        return answer;
    }

    private static Optional<FullHttpResponse> unfit(FullHttpRequest request, String path) {
        boolean changes = path.equals(ENTER) || path.equals(ACKNOWLEDGE);
        if (!changes && !Page.isFile(path) && !List.of(EVENTS, METRICS, HEALTH).contains(path)) {
            return Optional.of(Answers.words(HttpResponseStatus.NOT_FOUND, "there is no such page here"));
        }
        boolean posts = request.method().equals(HttpMethod.POST);
        if (changes ? !posts : !isGet(request) && !request.method().equals(HttpMethod.HEAD)) {
            return Optional.of(notAllowed(changes));
        }
        return posts && !request.headers().contains(HttpHeaderNames.ORIGIN)
                ? Optional.of(Answers.words(HttpResponseStatus.FORBIDDEN, "only a page of this desk may ask for that"))
                : Optional.empty();
    }

    private static boolean isGet(FullHttpRequest request) {
        return request.method().equals(HttpMethod.GET);
    }

    private static FullHttpResponse notAllowed(boolean changes) {
        String allowed = changes ? "POST" : "GET, HEAD";
        FullHttpResponse answer = Answers.words(HttpResponseStatus.METHOD_NOT_ALLOWED, "expected " + allowed);
        answer.headers().set(HttpHeaderNames.ALLOW, allowed);
        return answer;
    }

    /** What is answered to one who has not entered. */
    private Optional<FullHttpResponse> stopped(FullHttpRequest request, String path, Entrance.Asker asker) {
        HttpHeaders headers = request.headers();
        boolean open = path.equals(ENTER) || (Page.isFile(path) && !Page.isView(path));
        if (open || entrance.isOpen() || entrance.hasCookie(headers)) {
            return Optional.empty();
        }
        return Entrance.bearsToken(headers) && entrance.bears(headers, asker)
                ? Optional.empty()
                : Optional.of(unauthorized(path));
    }

    private static FullHttpResponse unauthorized(String path) {
        FullHttpResponse answer = Page.isView(path)
                ? Answers.of(HttpResponseStatus.UNAUTHORIZED, Page.ENTER.type(), Page.ENTER.body())
                : Answers.words(HttpResponseStatus.UNAUTHORIZED, "expected the token: Authorization: Bearer …");
        answer.headers().set(HttpHeaderNames.WWW_AUTHENTICATE, "Bearer"); // RFC 6750, section 3
        return answer;
    }

    /** Too many wait already. */
    static FullHttpResponse later() {
        FullHttpResponse answer = Answers.words(HttpResponseStatus.TOO_MANY_REQUESTS, LATER);
        answer.headers().set(HttpHeaderNames.RETRY_AFTER, Turnstile.NANOS_EACH / 1_000_000_000L);
        return answer;
    }

    private FullHttpResponse enter(FullHttpRequest request, Entrance.Asker asker) {
        String to = field(request, "to").equals("/glance") ? "/glance" : "/";
        if (entrance.isOpen()) {
            return Answers.seeOther(to);
        }
        if (!entrance.says(field(request, "token"), asker)) {
            return Answers.words(HttpResponseStatus.UNAUTHORIZED, "that is not the token; go back and try again");
        }
        FullHttpResponse answer = Answers.seeOther(to);
        answer.headers().set(HttpHeaderNames.SET_COOKIE, entrance.cookie());
        return answer;
    }

    /** A field of a form (URL Standard, section 5); empty if there is none. */
    private static String field(FullHttpRequest request, String name) {
        try {
            QueryStringDecoder form = new QueryStringDecoder(
                    request.content().toString(StandardCharsets.UTF_8), StandardCharsets.UTF_8, false, 4);
            return form.parameters().getOrDefault(name, List.of("")).get(0);
        } catch (IllegalArgumentException e) {
            return "";
        }
    }

    private FullHttpResponse metrics(HttpHeaders headers) {
        MetricsForm form = MetricsForm.wanted(headers.get(HttpHeaderNames.ACCEPT, ""));
        byte[] text = board.metrics(form).getBytes(StandardCharsets.UTF_8);
        return Answers.of(HttpResponseStatus.OK, form.type(), text);
    }

    private FullHttpResponse health() {
        List<String> reasons = board.reasons();
        return reasons.isEmpty()
                ? Answers.words(HttpResponseStatus.OK, "all is well")
                : Answers.words(HttpResponseStatus.SERVICE_UNAVAILABLE, String.join("\n", reasons));
    }

    private FullHttpResponse acknowledge(String number) {
        boolean known = board.acknowledge(number);
        acknowledged.run();
        return known
                ? Answers.words(HttpResponseStatus.OK, "acknowledged")
                : Answers.words(HttpResponseStatus.NOT_FOUND, "there is no such fault any more");
    }
}
