package instep.gear;

import io.netty.channel.Channel;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.SimpleChannelInboundHandler;
import io.netty.handler.codec.http.HttpContent;
import io.netty.handler.codec.http.HttpHeaderNames;
import io.netty.handler.codec.http.HttpMessage;
import io.netty.handler.codec.http.HttpObject;
import io.netty.handler.codec.http.HttpResponse;
import io.netty.handler.codec.http.HttpResponseDecoder;
import io.netty.handler.codec.http.HttpStatusClass;
import io.netty.handler.codec.http.HttpUtil;
import io.netty.handler.codec.http.LastHttpContent;
import org.jspecify.annotations.Nullable;

/** Hears the responses on one connection. Loop thread only. */
final class HttpEars extends SimpleChannelInboundHandler<HttpObject> {
    /** Whose connection it is. */
    interface Owner {
        /** What waits for an answer on this connection; null if nothing does. */
        @Nullable Exchange current(Channel of);

        void answered(Exchange exchange, boolean keepConnection);

        /** The other side closed it, or it broke. */
        void gone(Channel of, @Nullable Throwable cause);

        /** What was said is of no use; {@code what} completes a sentence. */
        void rubbish(Channel of, String what);
    }

    private final Owner owner;
    private boolean interim;
    private boolean keep;

    private HttpEars(Owner owner) {
        this.owner = owner;
    }

    static void listen(Channel channel, Owner owner) {
        channel.pipeline().addLast(new Decoder(channel, owner), new HttpEars(owner));
    }

    @Override
    protected void channelRead0(ChannelHandlerContext ctx, HttpObject part) {
        Exchange exchange = owner.current(ctx.channel());
        if (part.decoderResult().isFailure()) {
            owner.rubbish(ctx.channel(), "does not answer in HTTP");
        } else if (exchange == null) { // some servers say that they are about to close an idle connection
            owner.rubbish(ctx.channel(), "spoke without being asked");
        } else {
            if (part instanceof HttpResponse head) {
                head(exchange, head);
            }
            if (part instanceof HttpContent body) {
                body(exchange, body);
            }
        }
    }

    /** One or more informational responses may come before the one that counts (RFC 9110, section 15.2). */
    private void head(Exchange exchange, HttpResponse head) {
        interim = head.status().codeClass() == HttpStatusClass.INFORMATIONAL;
        if (!interim) {
            keep = HttpUtil.isKeepAlive(head);
            exchange.status(head.status(), head.headers().get(HttpHeaderNames.LOCATION));
        }
    }

    private void body(Exchange exchange, HttpContent piece) {
        if (interim) {
            return;
        }
        boolean tooMuch = !exchange.body(piece.content());
        if (tooMuch || piece instanceof LastHttpContent) {
            owner.answered(exchange, keep && !tooMuch);
        }
    }

    @Override
    public void channelInactive(ChannelHandlerContext ctx) {
        owner.gone(ctx.channel(), null);
    }

    @Override
    public void exceptionCaught(ChannelHandlerContext ctx, Throwable cause) {
        Reasons.endIfFatal(cause);
        owner.gone(ctx.channel(), cause);
    }

    /** Knows that the answer to HEAD has no body, whatever its headers say. */
    private static final class Decoder extends HttpResponseDecoder {
        private final Channel channel;
        private final Owner owner;

        Decoder(Channel channel, Owner owner) {
            this.channel = channel;
            this.owner = owner;
        }

        @Override
        protected boolean isContentAlwaysEmpty(HttpMessage message) {
            Exchange exchange = owner.current(channel);
            return (exchange != null && exchange.isHead()) || super.isContentAlwaysEmpty(message);
        }
    }
}
