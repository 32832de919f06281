package instep.input;

import instep.input.net.Prefix;
import io.netty.buffer.Unpooled;
import io.netty.channel.ChannelFutureListener;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.SimpleChannelInboundHandler;
import io.netty.handler.codec.http.DefaultFullHttpResponse;
import io.netty.handler.codec.http.FullHttpRequest;
import io.netty.handler.codec.http.FullHttpResponse;
import io.netty.handler.codec.http.HttpHeaderNames;
import io.netty.handler.codec.http.HttpHeaderValues;
import io.netty.handler.codec.http.HttpMessage;
import io.netty.handler.codec.http.HttpMethod;
import io.netty.handler.codec.http.HttpObjectAggregator;
import io.netty.handler.codec.http.HttpResponseStatus;
import io.netty.handler.codec.http.HttpUtil;
import io.netty.handler.codec.http.HttpVersion;
import io.netty.handler.timeout.IdleStateEvent;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/**
 * POST requests of one peer (RFC 9110, 9112). Pages of other sites that a browser in the studio shows cannot press anything: what they send has an Origin, or
 * a name for a host.
 */
final class PostDoor extends SimpleChannelInboundHandler<FullHttpRequest> {
    static final int MOST_BODY_BYTES = 256;
    private static final String PATH = "/contacts/";
    private static final String BEARER = "Bearer ";

    private final Door door;
    private final Map<String, Integer> names;
    private final String token;

    /**
     * For one peer.
     *
     * @param names of the contacts, as they stand in the path
     * @param token what a request must bear; empty: nothing
     */
    PostDoor(Door door, Map<String, Integer> names, String token) {
        this.door = door;
        this.names = names;
        this.token = token;
    }

    /** Puts requests together; one that is too long is told so. */
    static HttpObjectAggregator aggregator() {
        return new HttpObjectAggregator(MOST_BODY_BYTES, true) {
            @Override
            protected void handleOversizedMessage(ChannelHandlerContext ctx, HttpMessage oversized) {
                String words = "the body has more than " + MOST_BODY_BYTES + " bytes; expected down, up or nothing";
                say(ctx, response(HttpResponseStatus.REQUEST_ENTITY_TOO_LARGE, words), false);
            }
        };
    }

    @Override
    protected void channelRead0(ChannelHandlerContext ctx, FullHttpRequest request) {
        long nanos = System.nanoTime();
        say(
                ctx,
                answer(ctx, request, nanos),
                HttpUtil.isKeepAlive(request) && request.decoderResult().isSuccess());
        door.watchSilence();
    }

    private FullHttpResponse answer(ChannelHandlerContext ctx, FullHttpRequest request, long nanos) {
        if (!request.decoderResult().isSuccess()) {
            return response(HttpResponseStatus.BAD_REQUEST, "this is no HTTP request that can be read");
        }
        List<String> hosts = request.headers().getAll(HttpHeaderNames.HOST);
        if (hosts.size() != 1) { // RFC 9112, section 3.2
            return response(HttpResponseStatus.BAD_REQUEST, "expected one Host");
        }
        if (request.headers().contains(HttpHeaderNames.ORIGIN)) {
            return response(
                    HttpResponseStatus.FORBIDDEN, "web pages may not press contacts (the request has an Origin)");
        }
        if (!isOurs(hosts.get(0), (InetSocketAddress) ctx.channel().localAddress())) {
            return response(
                    HttpResponseStatus.FORBIDDEN, "expected the address of this machine or localhost as the host");
        }
        if (!bearsToken(request)) {
            FullHttpResponse answer =
                    response(HttpResponseStatus.UNAUTHORIZED, "expected the token: Authorization: Bearer …");
            answer.headers().set(HttpHeaderNames.WWW_AUTHENTICATE, "Bearer"); // RFC 6750, section 3
            return answer;
        }
        return press(request, nanos);
    }

    private FullHttpResponse press(FullHttpRequest request, long nanos) {
        String uri = request.uri();
        Integer index = uri.startsWith(PATH) ? names.get(percentDecoded(uri.substring(PATH.length()))) : null;
        if (index == null) {
            return response(
                    HttpResponseStatus.NOT_FOUND,
                    "no such contact; expected " + PATH + " and one of " + String.join(", ", names.keySet()));
        }
        if (!request.method().equals(HttpMethod.POST)) {
            FullHttpResponse answer = response(HttpResponseStatus.METHOD_NOT_ALLOWED, "expected POST");
            answer.headers().set(HttpHeaderNames.ALLOW, HttpMethod.POST.name());
            return answer;
        }
        String body = request.content().toString(StandardCharsets.UTF_8).strip();
        switch (body) {
            case "down", "up" -> door.contacts().level(index, body.equals("down"), null, nanos);
            case "" -> door.contacts().step(index, nanos);
            default -> {
                return response(HttpResponseStatus.BAD_REQUEST, "expected down, up or nothing in the body");
            }
        }
        return new DefaultFullHttpResponse(HttpVersion.HTTP_1_1, HttpResponseStatus.NO_CONTENT);
    }

    /** The name of another site could be made to lead here; an address cannot. */
    static boolean isOurs(String host, InetSocketAddress local) {
        int colon = host.lastIndexOf(':');
        boolean port = colon > host.lastIndexOf(']') && colon > 0;
        if (port && !host.substring(colon + 1).equals(String.valueOf(local.getPort()))) {
            return false;
        }
        String name = port ? host.substring(0, colon) : host;
        String bare = name.startsWith("[") && name.endsWith("]") ? name.substring(1, name.length() - 1) : name;
        return name.toLowerCase(Locale.ROOT).equals("localhost")
                || Prefix.parse(bare)
                        .filter(Prefix::isWhole)
                        .filter(prefix -> prefix.contains(local.getAddress()))
                        .isPresent();
    }

    /** As quickly for a wrong text as for the right one. */
    private boolean bearsToken(FullHttpRequest request) {
        if (token.isEmpty()) {
            return true;
        }
        String given = request.headers().get(HttpHeaderNames.AUTHORIZATION, "");
        boolean bearer = given.regionMatches(true, 0, BEARER, 0, BEARER.length());
        String text = bearer ? given.substring(BEARER.length()).strip() : "";
        return MessageDigest.isEqual(text.getBytes(StandardCharsets.UTF_8), token.getBytes(StandardCharsets.UTF_8));
    }

    /** The name as it was before it was made fit for a path (RFC 3986, section 2.1); a plus is a plus. */
    private static String percentDecoded(String part) {
        try {
            return java.net.URLDecoder.decode(part.replace("+", "%2B"), StandardCharsets.UTF_8);
        } catch (IllegalArgumentException e) {
            return "";
        }
    }

    private static FullHttpResponse response(HttpResponseStatus status, String words) {
        FullHttpResponse response = new DefaultFullHttpResponse(
                HttpVersion.HTTP_1_1, status, Unpooled.copiedBuffer(words + "\n", StandardCharsets.UTF_8));
        response.headers().set(HttpHeaderNames.CONTENT_TYPE, "text/plain; charset=utf-8");
        response.headers()
                .setInt(HttpHeaderNames.CONTENT_LENGTH, response.content().readableBytes());
        return response;
    }

    @SuppressWarnings("FutureReturnValueIgnored") // nobody waits for it
    private static void say(ChannelHandlerContext ctx, FullHttpResponse response, boolean goesOn) {
        if (goesOn) {
            ctx.writeAndFlush(response);
        } else {
            response.headers().set(HttpHeaderNames.CONNECTION, HttpHeaderValues.CLOSE);
            ctx.writeAndFlush(response).addListener(ChannelFutureListener.CLOSE);
        }
    }

    @Override
    public void userEventTriggered(ChannelHandlerContext ctx, Object event) {
        if (event instanceof IdleStateEvent) {
            Door.drop(ctx.channel());
        }
    }

    @Override
    public void exceptionCaught(ChannelHandlerContext ctx, Throwable cause) {
        if (!(cause instanceof java.io.IOException)) {
            ctx.fireExceptionCaught(cause);
        }
        Door.drop(ctx.channel());
    }
}
