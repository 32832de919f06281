package instep.input;

import io.netty.buffer.ByteBuf;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.SimpleChannelInboundHandler;
import io.netty.handler.codec.TooLongFrameException;
import java.net.InetAddress;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** Lines of one peer. When it goes, what it has closed opens. */
final class LineDoor extends SimpleChannelInboundHandler<ByteBuf> {
    /** A line without its end. */
    static final int MOST_BYTES = 256;

    /** What a line says of a contact. */
    enum Move {
        CLOSES,
        OPENS,
        STEPS
    }

    /** A line that is known. */
    record Known(int index, Move move) {}

    private final Door door;
    private final InetAddress peer;
    private final Map<String, Known> lines;

    LineDoor(Door door, InetAddress peer, Map<String, Known> lines) {
        this.door = door;
        this.peer = peer;
        this.lines = lines;
    }

    /** All lines that mean something. */
    static Map<String, Known> lines(List<NetContact> contacts) {
        Map<String, Known> lines = new HashMap<>();
        for (int i = 0; i < contacts.size(); i++) {
            NetContact contact = contacts.get(i);
            lines.put(contact.closed(), new Known(i, contact.open() == null ? Move.STEPS : Move.CLOSES));
            if (contact.open() != null) {
                lines.put(contact.open(), new Known(i, Move.OPENS));
            }
            if (contact.step() != null) {
                lines.put(contact.step(), new Known(i, Move.STEPS));
            }
        }
        return lines;
    }

    @Override
    protected void channelRead0(ChannelHandlerContext ctx, ByteBuf line) {
        long nanos = System.nanoTime();
        String text = line.toString(StandardCharsets.UTF_8).strip();
        Known known = lines.get(text);
        if (known == null) {
            if (!text.isEmpty()) {
                door.odd(peer, "says " + Oddities.quote(text) + ", which is no contact", nanos);
            }
        } else if (known.move() == Move.STEPS) {
            door.contacts().step(known.index(), nanos);
        } else {
            door.contacts().level(known.index(), known.move() == Move.CLOSES, this, nanos);
            door.watchSilence();
        }
    }

    @Override
    public void channelInactive(ChannelHandlerContext ctx) {
        door.left(this);
    }

    /** A peer that resets the connection has gone, and one that sends no lines is sent away. */
    @Override
    public void exceptionCaught(ChannelHandlerContext ctx, Throwable cause) {
        if (cause instanceof TooLongFrameException) {
            door.odd(peer, "sends a line of more than " + MOST_BYTES + " bytes and is cut off", System.nanoTime());
        } else if (!(cause instanceof java.io.IOException)) {
            ctx.fireExceptionCaught(cause);
            return;
        }
        Door.drop(ctx.channel());
    }
}
