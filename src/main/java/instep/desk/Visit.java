package instep.desk;

import io.netty.channel.ChannelFutureListener;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.SimpleChannelInboundHandler;
import io.netty.handler.codec.CodecException;
import io.netty.handler.codec.http.FullHttpRequest;
import io.netty.handler.codec.http.FullHttpResponse;
import io.netty.handler.codec.http.HttpHeaderNames;
import io.netty.handler.codec.http.HttpHeaderValues;
import io.netty.handler.codec.http.HttpMessage;
import io.netty.handler.codec.http.HttpObjectAggregator;
import io.netty.handler.codec.http.HttpResponseStatus;
import io.netty.handler.codec.http.HttpUtil;
import io.netty.util.concurrent.Future;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * One connection to the page. A whole request must have come, and what was answered must have gone, in time: one that dawdles is closed. One that has become a stream of
 * events is looked after by the {@link Viewers}.
 */
final class Visit extends SimpleChannelInboundHandler<FullHttpRequest> {
    static final int MOST_BODY_BYTES = 1_024;
    /** More pieces of a body, which may come byte by byte, are put together to one. */
    private static final int MOST_BODY_PARTS = 16;

    private final Porter porter;
    private final Viewers viewers;
    private final Pace pace;
    private final Sluice sluice;

    private @Nullable Future<?> patience;
    private @Nullable Held held;
    private boolean streams;
    private boolean hasAsked;
    /** What was answered has not gone yet. */
    private boolean answers;
    /** Since when it has waited for a request, if it does. */
    private long idleSince = System.nanoTime();

    /**
     * How quickly a visit must go on, and may.
     *
     * @param patienceNanos how long a request may take to come, its answer to go, and the next request to come after that
     * @param holdNanos how long a token waits until it is looked at, when many were wrong
     */
    record Pace(long patienceNanos, long holdNanos) {}

    /** A request with a token that waits until it is looked at. */
    private record Held(FullHttpRequest request, Turnstile turnstile, Future<?> look) {}

    /** One that has just begun, and whose answers go out by that sluice. */
    Visit(Porter porter, Viewers viewers, Pace pace, Sluice sluice) {
        this.porter = porter;
        this.viewers = viewers;
        this.pace = pace;
        this.sluice = sluice;
    }

    /** Puts requests together; one that is too long is told so. */
    static HttpObjectAggregator aggregator() {
        HttpObjectAggregator aggregator = new HttpObjectAggregator(MOST_BODY_BYTES, true) {
            @Override
            protected void handleOversizedMessage(ChannelHandlerContext ctx, HttpMessage oversized) {
                String words = "the body has more than " + MOST_BODY_BYTES + " bytes";
                sayLast(ctx, Answers.words(HttpResponseStatus.REQUEST_ENTITY_TOO_LARGE, words));
            }
        };
        aggregator.setMaxCumulationBufferComponents(MOST_BODY_PARTS);
        return aggregator;
    }

    @Override
    public void channelActive(ChannelHandlerContext ctx) {
        wait(ctx);
        ctx.fireChannelActive();
    }

    @Override
    public void channelInactive(ChannelHandlerContext ctx) {
        stopWaiting();
        if (held != null) {
            held.look().cancel(false);
            letGo(held);
        }
        viewers.gone(ctx.channel());
        ctx.fireChannelInactive();
    }

    /** Whether it only waits for a request. */
    boolean isIdle() {
        return !streams && !answers && held == null;
    }

    /** Of two that are idle, whether this one is let go first: one that has never asked anything, then one that has been idle for longer. */
    boolean goesBefore(Visit other) {
        return hasAsked == other.hasAsked ? idleSince - other.idleSince < 0 : !hasAsked;
    }

    private void wait(ChannelHandlerContext ctx) {
        stopWaiting();
        patience = ctx.executor().schedule(() -> drop(ctx), pace.patienceNanos(), TimeUnit.NANOSECONDS);
    }

    private void stopWaiting() {
        if (patience != null) {
            patience.cancel(false);
            patience = null;
        }
    }

    @Override
    protected void channelRead0(ChannelHandlerContext ctx, FullHttpRequest request) {
        hasAsked = true;
        if (streams || held != null) {
            drop(ctx);
            return;
        }
        if (answers) {
            sluice.last();
            return;
        }
        Turnstile turnstile = porter.before(request, from(ctx));
        if (turnstile == null || turnstile.admits(System.nanoTime())) {
            answer(ctx, request);
        } else if (turnstile.waits()) {
            hold(ctx, request, turnstile);
        } else {
            wait(ctx);
            say(ctx, Porter.later(), false);
        }
    }

    /** Until then nobody has looked at it, so that who does not wait for the answer has learnt nothing. */
    private void hold(ChannelHandlerContext ctx, FullHttpRequest request, Turnstile turnstile) {
        wait(ctx);
        Runnable look = () -> {
            if (held != null) {
                Held over = held;
                answer(ctx, over.request());
                letGo(over);
            }
        };
        held = new Held(
                request.retain(), turnstile, ctx.executor().schedule(look, pace.holdNanos(), TimeUnit.NANOSECONDS));
    }

    private void letGo(Held over) {
        held = null;
        over.turnstile().waited();
        over.request().release();
    }

    private void answer(ChannelHandlerContext ctx, FullHttpRequest request) {
        InetSocketAddress local = (InetSocketAddress) ctx.channel().localAddress();
        FullHttpResponse response = porter.answer(request, local, new Entrance.Asker(from(ctx), System.nanoTime()));
        boolean goesOn =
                HttpUtil.isKeepAlive(request) && request.decoderResult().isSuccess();
        if (response != null) {
            wait(ctx);
            say(ctx, response, goesOn);
        } else if (viewers.take(ctx.channel())) {
            streams = true;
            stopWaiting();
        } else {
            wait(ctx);
            say(ctx, Answers.words(HttpResponseStatus.SERVICE_UNAVAILABLE, "too many pages look at this desk"), false);
        }
    }

    private static InetAddress from(ChannelHandlerContext ctx) {
        return ((InetSocketAddress) ctx.channel().remoteAddress()).getAddress();
    }

    private void say(ChannelHandlerContext ctx, FullHttpResponse response, boolean goesOn) {
        answers = true;
        if (!goesOn) {
            sayLast(ctx, response);
            return;
        }
        ctx.writeAndFlush(response).addListener(gone -> {
            answers = false;
            idleSince = System.nanoTime();
            if (gone.isSuccess()) {
                wait(ctx);
            }
        });
    }

    @SuppressWarnings("FutureReturnValueIgnored") // nobody waits for it
    private static void sayLast(ChannelHandlerContext ctx, FullHttpResponse response) {
        response.headers().set(HttpHeaderNames.CONNECTION, HttpHeaderValues.CLOSE);
        ctx.writeAndFlush(response).addListener(ChannelFutureListener.CLOSE);
    }

    @SuppressWarnings("FutureReturnValueIgnored")
    private static void drop(ChannelHandlerContext ctx) {
        ctx.close();
    }

    @Override
    public void exceptionCaught(ChannelHandlerContext ctx, Throwable cause) {
        // Connections break off, and so do requests; neither is worth a line, of which others could make any number.
        if (!(cause instanceof IOException || cause instanceof CodecException)) {
            System.err.println("instep: a visit to the desk page ended: " + cause);
        }
        drop(ctx);
    }
}
