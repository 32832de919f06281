package instep.gear;

import io.netty.buffer.ByteBuf;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelInboundHandlerAdapter;
import java.util.function.Consumer;
import java.util.function.Function;

/** Hears what one connection says, cut into pieces. Loop thread only. */
final class StreamEars extends ChannelInboundHandlerAdapter {
    private final Plug.Hearer hearer;
    private final Function<Consumer<String>, Frames> cutting;
    private Frames frames = new Pieces(piece -> {});

    /** Cuts with what {@code cutting} makes for the connection. */
    StreamEars(Plug.Hearer hearer, Function<Consumer<String>, Frames> cutting) {
        this.hearer = hearer;
        this.cutting = cutting;
    }

    @Override
    public void handlerAdded(ChannelHandlerContext ctx) {
        frames = cutting.apply(text -> hearer.said(ctx.channel(), text));
    }

    @Override
    public void channelRead(ChannelHandlerContext ctx, Object msg) {
        ByteBuf bytes = (ByteBuf) msg;
        try {
            if (!frames.take(bytes)) {
                hearer.useless(ctx.channel(), frames.excess());
            }
        } finally {
            bytes.release();
        }
    }

    @Override
    public void channelInactive(ChannelHandlerContext ctx) {
        hearer.gone(ctx.channel(), null);
    }

    @Override
    public void exceptionCaught(ChannelHandlerContext ctx, Throwable cause) {
        Reasons.endIfFatal(cause);
        hearer.gone(ctx.channel(), cause);
    }
}
