package instep.gear;

import io.netty.buffer.ByteBuf;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelOutboundHandlerAdapter;
import io.netty.channel.ChannelPromise;
import io.netty.handler.codec.http.websocketx.BinaryWebSocketFrame;
import io.netty.handler.codec.http.websocketx.PingWebSocketFrame;
import io.netty.handler.codec.http.websocketx.TextWebSocketFrame;

/** Makes a frame of each message, by the opcode before it. Which bytes mask it is decided anew for each frame. */
final class WebSocketMouth extends ChannelOutboundHandlerAdapter {
    @Override
    @SuppressWarnings("FutureReturnValueIgnored") // it is the promise, and whoever gave that looks at it
    public void write(ChannelHandlerContext ctx, Object msg, ChannelPromise promise) {
        if (msg instanceof ByteBuf bytes) {
            int opcode = bytes.readByte();
            ctx.write(
                    opcode == WebSocketPlug.TEXT
                            ? new TextWebSocketFrame(bytes)
                            : opcode == WebSocketPlug.PING
                                    ? new PingWebSocketFrame(bytes)
                                    : new BinaryWebSocketFrame(bytes),
                    promise);
        } else {
            ctx.write(msg, promise);
        }
    }
}
