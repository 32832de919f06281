package instep.gear;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufHolder;
import io.netty.buffer.ByteBufUtil;
import io.netty.channel.ChannelDuplexHandler;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelPromise;

/** The tap in one connection: shows what passes, and lets it pass. */
final class TapHandler extends ChannelDuplexHandler {
    private final Tap tap;

    TapHandler(Tap tap) {
        this.tap = tap;
    }

    @Override
    public void channelRead(ChannelHandlerContext ctx, Object msg) {
        show(false, msg);
        ctx.fireChannelRead(msg);
    }

    @Override
    @SuppressWarnings("FutureReturnValueIgnored") // whoever writes has the promise
    public void write(ChannelHandlerContext ctx, Object msg, ChannelPromise promise) {
        show(true, msg);
        ctx.write(msg, promise);
    }

    private void show(boolean out, Object msg) {
        if (msg instanceof ByteBuf bytes) {
            tap.bytes(out, ByteBufUtil.getBytes(bytes));
        } else if (msg instanceof ByteBufHolder holder) {
            tap.bytes(out, ByteBufUtil.getBytes(holder.content()));
        }
    }
}
