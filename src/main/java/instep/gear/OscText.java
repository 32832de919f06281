package instep.gear;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufUtil;
import java.nio.charset.StandardCharsets;
import java.util.function.Consumer;

/**
 * What OSC gear says, readable: {@code /address 1 2.0 "text"}, as messages to it are written. The messages of a bundle are told one by one, its time tag
 * is passed over. What is no OSC is shown in hex.
 */
final class OscText {
    private static final String BUNDLE = "#bundle";
    private static final int DEEPEST = 8;

    private final ByteBuf in;
    private final StringBuilder out = new StringBuilder();

    private OscText(ByteBuf in) {
        this.in = in;
    }

    /** Reads one packet. */
    static void of(ByteBuf packet, Consumer<String> each) {
        packet(packet, each, 0);
    }

    private static void packet(ByteBuf packet, Consumer<String> each, int depth) {
        int start = packet.readerIndex();
        try {
            OscText text = new OscText(packet);
            String address = text.string();
            if (address.equals(BUNDLE) && depth < DEEPEST) {
                packet.skipBytes(Long.BYTES);
                while (packet.isReadable()) {
                    packet(packet.readSlice(packet.readInt()), each, depth + 1);
                }
            } else if (address.startsWith("/")) {
                each.accept(text.message(address));
            } else {
                throw new IndexOutOfBoundsException("no address");
            }
        } catch (IndexOutOfBoundsException | IllegalArgumentException e) {
            each.accept("hex " + ByteBufUtil.hexDump(packet, start, packet.writerIndex() - start));
        }
    }

    /** Very old senders leave the type tags out, and then nobody can tell what follows. */
    private String message(String address) {
        out.append(Lines.printable(address));
        String tags = in.isReadable() ? string() : ",";
        if (!tags.startsWith(",")) {
            throw new IllegalArgumentException("no type tags");
        }
        for (int i = 1; i < tags.length(); i++) {
            argument(tags.charAt(i));
        }
        return out.toString();
    }

    private void argument(char tag) {
        out.append(' ');
        switch (tag) {
            case 'i' -> out.append(in.readInt());
            case 'f' -> out.append(in.readFloat());
            case 'h' -> out.append(in.readLong());
            case 'd' -> out.append(in.readDouble());
            case 's', 'S' -> out.append('"').append(Lines.printable(string())).append('"');
            case 'b' -> out.append("hex ").append(blob());
            case 't' -> out.append("time ").append(hex(Long.BYTES));
            case 'c' ->
                out.append('"')
                        .append(Lines.printable(Character.toString(in.readInt())))
                        .append('"');
            case 'r' -> out.append("colour ").append(hex(Integer.BYTES));
            case 'm' -> out.append("midi ").append(hex(Integer.BYTES));
            case 'T', 'F', 'N', 'I', '[', ']' -> out.append(tag);
            default -> throw new IllegalArgumentException("unknown type " + tag);
        }
    }

    /** Up to a NUL, with more NULs to a multiple of four bytes. */
    private String string() {
        int length = in.bytesBefore((byte) 0);
        if (length < 0) {
            throw new IndexOutOfBoundsException("a string without an end");
        }
        String string = in.readCharSequence(length, StandardCharsets.UTF_8).toString();
        in.skipBytes(4 - length % 4);
        return string;
    }

    private String blob() {
        int length = in.readInt();
        String hex = hex(length);
        in.skipBytes(-length & 3);
        return hex;
    }

    private String hex(int bytes) {
        return ByteBufUtil.hexDump(in.readSlice(bytes));
    }
}
