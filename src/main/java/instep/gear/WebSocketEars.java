package instep.gear;

import io.netty.channel.Channel;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.SimpleChannelInboundHandler;
import io.netty.handler.codec.DecoderException;
import io.netty.handler.codec.TooLongFrameException;
import io.netty.handler.codec.http.websocketx.PingWebSocketFrame;
import io.netty.handler.codec.http.websocketx.PongWebSocketFrame;
import io.netty.handler.codec.http.websocketx.TextWebSocketFrame;
import io.netty.handler.codec.http.websocketx.WebSocketClientHandshakeException;
import io.netty.handler.codec.http.websocketx.WebSocketClientProtocolHandler.ClientHandshakeStateEvent;
import io.netty.handler.codec.http.websocketx.WebSocketFrame;
import io.netty.util.concurrent.Future;
import io.netty.util.concurrent.Promise;
import io.netty.util.concurrent.ScheduledFuture;
import java.nio.channels.ClosedChannelException;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * Hears the frames on one WebSocket, and asks for a sign of life where there is none. Pings of the other side are answered by Netty, fragments put
 * together. Loop thread only.
 */
final class WebSocketEars extends SimpleChannelInboundHandler<WebSocketFrame> {
    private final Plug.Hearer hearer;
    private final Net net;
    private final long pingNanos;
    private final Promise<Void> agreed;
    private @Nullable ScheduledFuture<?> watch;
    private boolean heard;
    private boolean asked;

    WebSocketEars(Channel channel, Plug.Hearer hearer, Net net, long pingNanos) {
        this.hearer = hearer;
        this.net = net;
        this.pingNanos = pingNanos;
        this.agreed = channel.eventLoop().newPromise();
    }

    /** Done when the other side has agreed to speak WebSocket. */
    Future<Void> agreed() {
        return agreed;
    }

    @Override
    public void userEventTriggered(ChannelHandlerContext ctx, Object event) {
        if (event == ClientHandshakeStateEvent.HANDSHAKE_COMPLETE) {
            watch(ctx);
            agreed.trySuccess(null);
        } else if (event == ClientHandshakeStateEvent.HANDSHAKE_TIMEOUT) {
            agreed.tryFailure(new DeclinedException("does not answer as a WebSocket"));
        }
        ctx.fireUserEventTriggered(event);
    }

    @Override
    protected void channelRead0(ChannelHandlerContext ctx, WebSocketFrame frame) {
        heard = true;
        if (frame instanceof TextWebSocketFrame text) {
            hearer.said(ctx.channel(), Lines.printable(text.text().replaceAll("\\s*\\R\\s*", " ")));
        } else if (frame instanceof PongWebSocketFrame) {
            if (frame.content().isReadable()) { // those with which a sign of life is asked for are empty
                hearer.said(ctx.channel(), "pong");
            }
        } else {
            Pieces.text(frame.content(), said -> hearer.said(ctx.channel(), said));
        }
    }

    private void watch(ChannelHandlerContext ctx) {
        watch = net.after(pingNanos, () -> {
            if (!heard && asked) {
                hearer.useless(
                        ctx.channel(),
                        "did not answer a ping within " + TimeUnit.NANOSECONDS.toMillis(pingNanos)
                                + " ms: is it frozen?");
                return;
            }
            asked = !heard;
            heard = false;
            if (asked) {
                ping(ctx);
            }
            watch(ctx);
        });
    }

    /** Whether it has gone out does not matter: an answer is what counts. */
    @SuppressWarnings("FutureReturnValueIgnored")
    private static void ping(ChannelHandlerContext ctx) {
        ctx.writeAndFlush(new PingWebSocketFrame());
    }

    @Override
    public void channelInactive(ChannelHandlerContext ctx) {
        if (watch != null) {
            watch.cancel(false);
        }
        agreed.tryFailure(new ClosedChannelException());
        hearer.gone(ctx.channel(), null);
    }

    @Override
    public void exceptionCaught(ChannelHandlerContext ctx, Throwable cause) {
        Reasons.endIfFatal(cause);
        if (cause instanceof WebSocketClientHandshakeException no) {
            agreed.tryFailure(new DeclinedException("does not open a WebSocket there (" + status(no) + ")"));
        } else if (agreed.tryFailure(cause)) {
            return;
        } else if (cause instanceof TooLongFrameException) {
            hearer.useless(ctx.channel(), "sent a message of more than " + Frames.LONGEST_BYTES + " bytes");
        } else if (cause instanceof DecoderException) {
            hearer.useless(ctx.channel(), "sent what is no WebSocket frame (" + cause.getMessage() + ")");
        } else {
            hearer.gone(ctx.channel(), cause);
        }
    }

    private static String status(WebSocketClientHandshakeException no) {
        return no.response() == null
                ? String.valueOf(no.getMessage())
                : no.response().status().toString();
    }
}
