package instep.demo;

import java.nio.BufferUnderflowException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;

/**
 * Reads one OSC 1.0 message, strictly: padding must be there and be zero, and nothing may follow.
 */
public final class OscReader {
    /**
     * A message as it was read.
     *
     * @param tags without the comma
     * @param arguments one for each tag: Integer, Long, Float, Double, String, {@link Blob}, or the tag itself as a Character where it has no bytes
     */
    public record Message(String address, String tags, List<Object> arguments) {
        public Message {
            arguments = List.copyOf(arguments);
        }

        @Override
        public String toString() {
            StringBuilder text = new StringBuilder(address);
            arguments.forEach(a -> text.append(' ').append(a instanceof String ? "\"" + a + "\"" : a.toString()));
            return text.toString();
        }
    }

    private final ByteBuffer in;

    private OscReader(ByteBuffer in) {
        this.in = in;
    }

    /** Throws {@link IllegalArgumentException} for anything but exactly one message. */
    public static Message read(byte[] bytes) {
        try {
            return new OscReader(ByteBuffer.wrap(bytes)).message();
        } catch (BufferUnderflowException e) {
            throw new IllegalArgumentException("it ends too soon", e);
        }
    }

    private Message message() {
        String address = string();
        String tags = string();
        if (!address.startsWith("/") || !tags.startsWith(",")) {
            throw new IllegalArgumentException("an address begins with / and type tags with a comma");
        }
        List<Object> arguments = new ArrayList<>();
        for (char tag : tags.substring(1).toCharArray()) {
            arguments.add(argument(tag));
        }
        if (in.hasRemaining()) {
            throw new IllegalArgumentException(in.remaining() + " bytes too many");
        }
        return new Message(address, tags.substring(1), arguments);
    }

    private Object argument(char tag) {
        return switch (tag) {
            case 'i' -> in.getInt();
            case 'h' -> in.getLong();
            case 'f' -> in.getFloat();
            case 'd' -> in.getDouble();
            case 's' -> string();
            case 'b' -> blob();
            case 'T', 'F', 'N', 'I' -> tag;
            default -> throw new IllegalArgumentException("unknown type tag " + tag);
        };
    }

    private String string() {
        ByteBuffer from = in.slice();
        int length = 0;
        while (in.get() != 0) {
            length++;
        }
        String text = StandardCharsets.UTF_8.decode(from.limit(length)).toString();
        padding();
        return text;
    }

    private Blob blob() {
        int length = in.getInt();
        if (length < 0 || length > in.remaining()) {
            throw new BufferUnderflowException();
        }
        byte[] bytes = new byte[length];
        in.get(bytes);
        padding();
        return new Blob(HexFormat.of().formatHex(bytes));
    }

    private void padding() {
        while (in.position() % 4 != 0) {
            if (in.get() != 0) {
                throw new IllegalArgumentException("padding that is not zero");
            }
        }
    }

    /** Bytes, as hex. */
    public record Blob(String hex) {
        @Override
        public String toString() {
            return "hex " + hex;
        }
    }
}
