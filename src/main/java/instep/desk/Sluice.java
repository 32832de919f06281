package instep.desk;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufUtil;
import io.netty.buffer.Unpooled;
import io.netty.channel.ChannelDuplexHandler;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelPromise;
import java.nio.channels.ClosedChannelException;
import java.util.ArrayDeque;
import java.util.Queue;
import org.jspecify.annotations.Nullable;

/**
 * Lets what is answered on one connection out in small pieces, each when the socket has taken the one before, and what is asked in as bytes on the heap. Whatever a socket takes or gives goes through direct
 * memory, of which there are few megabytes for the page and the loop together; so the page has a piece of it for each connection, however much it has to say. Until an answer has gone, nothing
 * more is heard: what is asked meanwhile is thrown away, and that answer is the last. Desk thread only.
 */
final class Sluice extends ChannelDuplexHandler {
    static final int PIECE_BYTES = 4_096;

    private record Load(ByteBuf bytes, ChannelPromise gone) {}

    private final Queue<Load> loads = new ArrayDeque<>();
    private boolean isUnderWay;
    private boolean isLast;

    /** Closes the connection when all has gone that is to go. */
    void last() {
        isLast = true;
    }

    @Override
    public void channelRead(ChannelHandlerContext ctx, Object bytes) {
        if (!(bytes instanceof ByteBuf came)) {
            throw new IllegalArgumentException("no bytes: " + bytes);
        }
        try {
            isLast |= !loads.isEmpty();
            if (!isLast) {
                ctx.fireChannelRead(Unpooled.wrappedBuffer(ByteBufUtil.getBytes(came)));
            }
        } finally {
            came.release();
        }
    }

    @Override
    public void write(ChannelHandlerContext ctx, Object bytes, ChannelPromise gone) {
        if (!(bytes instanceof ByteBuf load)) {
            throw new IllegalArgumentException("no bytes: " + bytes);
        }
        loads.add(new Load(load, gone));
    }

    @Override
    public void flush(ChannelHandlerContext ctx) {
        Load load = loads.peek();
        if (isUnderWay || load == null) {
            return;
        }
        isUnderWay = true;
        ByteBuf bytes = load.bytes();
        ctx.writeAndFlush(bytes.readRetainedSlice(Math.min(PIECE_BYTES, bytes.readableBytes())))
                .addListener(taken -> taken(ctx, taken.cause()));
    }

    @SuppressWarnings("FutureReturnValueIgnored") // nobody waits for it
    private void taken(ChannelHandlerContext ctx, @Nullable Throwable cause) {
        isUnderWay = false;
        if (cause != null) {
            throwAway(cause);
            return;
        }
        Load load = loads.peek();
        if (load != null && !load.bytes().isReadable()) {
            loads.remove();
            load.bytes().release();
            load.gone().trySuccess();
        }
        if (isLast && loads.isEmpty()) {
            ctx.close();
        } else {
            flush(ctx);
        }
    }

    private void throwAway(Throwable cause) {
        for (Load load = loads.poll(); load != null; load = loads.poll()) {
            load.bytes().release();
            load.gone().tryFailure(cause);
        }
    }

    @Override
    public void channelInactive(ChannelHandlerContext ctx) {
        throwAway(new ClosedChannelException());
        ctx.fireChannelInactive();
    }
}
