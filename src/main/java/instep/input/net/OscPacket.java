package instep.input.net;

import java.nio.BufferUnderflowException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;

/** Reads an OSC 1.0 packet: a message, or a bundle of messages and bundles. Of a message only the first argument counts. */
public final class OscPacket {
    /** The value of a message without an argument. */
    public static final double NONE = Double.NaN;

    private static final String BUNDLE = "#bundle";
    private static final int DEEPEST = 8;

    /**
     * A message.
     *
     * @param address may be a pattern, see {@link OscPattern}
     * @param value its first argument, true as 1 and false as 0; {@link #NONE} if it has none
     */
    public record Message(String address, double value) {}

    private final List<Message> messages = new ArrayList<>();

    private OscPacket() {}

    /**
     * The messages in it, in order; what times bundles are meant for is passed over.
     *
     * @throws IllegalArgumentException with a sentence for a person, if any of it is no OSC or bears an argument that is no number
     */
    public static List<Message> read(ByteBuffer packet) {
        OscPacket read = new OscPacket();
        try {
            read.element(packet, 0);
        } catch (BufferUnderflowException e) {
            throw new IllegalArgumentException("it ends too soon", e);
        }
        return read.messages;
    }

    private void element(ByteBuffer in, int depth) {
        String address = string(in);
        if (address.equals(BUNDLE)) {
            if (depth == DEEPEST) {
                throw new IllegalArgumentException("its bundles are nested more than " + DEEPEST + " deep");
            }
            in.getLong();
            while (in.hasRemaining()) {
                int size = in.getInt();
                if (size <= 0 || size % 4 != 0 || size > in.remaining()) {
                    throw new IllegalArgumentException("an element of its bundle is " + size + " bytes long");
                }
                element(in.slice(in.position(), size), depth + 1);
                in.position(in.position() + size);
            }
        } else if (address.startsWith("/")) {
            messages.add(new Message(address, in.hasRemaining() ? argument(in, string(in)) : NONE));
        } else {
            throw new IllegalArgumentException("it does not begin with an address");
        }
    }

    private static double argument(ByteBuffer in, String tags) {
        if (!tags.startsWith(",")) {
            throw new IllegalArgumentException("its arguments have no type tags");
        }
        if (tags.length() == 1) {
            return NONE;
        }
        double value = switch (tags.charAt(1)) {
            case 'i' -> in.getInt();
            case 'h' -> in.getLong();
            case 'f' -> in.getFloat();
            case 'd' -> in.getDouble();
            case 'T' -> 1;
            case 'F', 'N' -> 0;
            // The impulse of OSC 1.1: it is told that something happens, and that is all.
            case 'I' -> NONE;
            default -> throw new IllegalArgumentException("its argument of type " + tags.charAt(1) + " is no number");
        };
        if (Double.isNaN(value) && tags.charAt(1) != 'I') {
            throw new IllegalArgumentException("its argument is not a number");
        }
        return value;
    }

    /** Up to a NUL, with more NULs to a multiple of four bytes. */
    private static String string(ByteBuffer in) {
        int start = in.position();
        while (in.get() != 0) {
            // only where it ends is looked for
        }
        int length = in.position() - 1 - start;
        String text = StandardCharsets.UTF_8.decode(in.slice(start, length)).toString();
        int end = start + length + 4 - length % 4;
        if (end > in.limit()) {
            throw new BufferUnderflowException();
        }
        in.position(end);
        return text;
    }
}
