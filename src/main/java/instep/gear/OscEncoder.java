package instep.gear;

import instep.machine.Template;
import instep.machine.Values;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufAllocator;
import io.netty.buffer.ByteBufUtil;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Instant;
import java.time.InstantSource;
import java.util.HexFormat;
import java.util.List;
import java.util.StringJoiner;
import java.util.concurrent.TimeUnit;

/**
 * Messages of Open Sound Control 1.0: address, type tags, arguments; each a multiple of four bytes, numbers big-endian. Text is UTF-8, which is
 * ASCII wherever the specification asks for that.
 */
final class OscEncoder implements Wire.Encoder {
    private static final int USUAL_BYTES = 64;
    private static final long IMMEDIATELY = 1;
    private static final long SECONDS_FROM_1900_TO_1970 = 2_208_988_800L;

    private final InstantSource clock;

    /** Takes the time of day from this machine, for time tags. */
    OscEncoder() {
        this(InstantSource.system());
    }

    OscEncoder(InstantSource clock) {
        this.clock = clock;
    }

    @Override
    public Wire encode(Payload payload, Values values) {
        if (payload instanceof Payload.Osc osc) {
            return message(osc, values);
        }
        if (payload instanceof Payload.OscBundle bundle) {
            return bundle(bundle, values);
        }
        throw new IllegalArgumentException("an OSC gear takes OSC messages and bundles, nothing else");
    }

    /** Name, time tag, and each message after its length (OSC 1.0, "OSC Bundles"). */
    private Wire bundle(Payload.OscBundle bundle, Values values) {
        ByteBuf out = ByteBufAllocator.DEFAULT.directBuffer(
                USUAL_BYTES * (1 + bundle.messages().size()));
        writeString("#bundle", out);
        out.writeLong(
                bundle.afterNanos() == 0 ? IMMEDIATELY : timeTag(clock.instant().plusNanos(bundle.afterNanos())));
        StringJoiner text = new StringJoiner("; ");
        for (Payload.Osc osc : bundle.messages()) {
            Wire message = message(osc, values);
            out.writeInt(message.bytes().readableBytes()).writeBytes(message.bytes());
            text.add(message.text());
            message.release();
        }
        return new Wire(out, Render.line(when(bundle.afterNanos()) + text));
    }

    private static String when(long afterNanos) {
        return afterNanos == 0 ? "together: " : "together, in " + TimeUnit.NANOSECONDS.toMillis(afterNanos) + " ms: ";
    }

    /** Seconds since 1900 and the fraction of one in 2^-32 (OSC 1.0, "OSC Time Tags"; the form of NTP, RFC 5905, section 6). */
    static long timeTag(Instant at) {
        long fraction = ((long) at.getNano() << 32) / 1_000_000_000L;
        return ((at.getEpochSecond() + SECONDS_FROM_1900_TO_1970) << 32) | fraction;
    }

    private static Wire message(Payload.Osc osc, Values values) {
        String address = osc.address().render(Render.addressPart(values), Template.Escape.NONE);
        if (!address.startsWith("/")) {
            throw new IllegalArgumentException("an OSC address begins with a slash, and this does not: " + address);
        }
        Values plain = Render.oneLine(values);
        ByteBuf out = ByteBufAllocator.DEFAULT.directBuffer(USUAL_BYTES);
        StringBuilder text = new StringBuilder(address);
        writeString(address, out);
        writeTags(osc.arguments(), out);
        for (Payload.Argument argument : osc.arguments()) {
            write(argument, plain, out, text.append(' '));
        }
        return new Wire(out, Render.line(text.toString()));
    }

    private static void writeTags(List<Payload.Argument> arguments, ByteBuf out) {
        int start = out.writerIndex();
        out.writeByte(',');
        arguments.forEach(argument -> out.writeByte(tag(argument)));
        out.writeByte(0);
        pad(out, start);
    }

    private static char tag(Payload.Argument argument) {
        if (argument instanceof Payload.Argument.Symbol symbol) {
            return symbol.tag();
        } else if (argument instanceof Payload.Argument.Int32) {
            return 'i';
        } else if (argument instanceof Payload.Argument.Int64) {
            return 'h';
        } else if (argument instanceof Payload.Argument.Float32) {
            return 'f';
        } else if (argument instanceof Payload.Argument.Float64) {
            return 'd';
        } else if (argument instanceof Payload.Argument.Numeric number) {
            return number.tag();
        }
        return argument instanceof Payload.Argument.Blob ? 'b' : 's';
    }

    private static void write(Payload.Argument argument, Values values, ByteBuf out, StringBuilder text) {
        if (argument instanceof Payload.Argument.Int32 i) {
            out.writeInt(i.value());
            text.append(i.value());
        } else if (argument instanceof Payload.Argument.Int64 h) {
            out.writeLong(h.value());
            text.append(h.value());
        } else if (argument instanceof Payload.Argument.Float32 f) {
            out.writeFloat(f.value());
            text.append(f.value());
        } else if (argument instanceof Payload.Argument.Float64 d) {
            out.writeDouble(d.value());
            text.append(d.value());
        } else if (argument instanceof Payload.Argument.Text s) {
            String string = s.value().render(values, Template.Escape.NONE);
            writeString(string, out);
            text.append('"').append(string).append('"');
        } else if (argument instanceof Payload.Argument.Numeric number) {
            writeNumber(number, number.value().render(values, Template.Escape.NONE), out);
            text.append(number.value().render(values, Template.Escape.NONE));
        } else if (argument instanceof Payload.Argument.Blob b) {
            writeBlob(HexFormat.of().parseHex(b.hex()), out);
            text.append("hex ").append(b.hex());
        } else if (argument instanceof Payload.Argument.Symbol symbol) {
            text.append(symbol.tag());
        }
    }

    private static void writeNumber(Payload.Argument.Numeric argument, String text, ByteBuf out) {
        try {
            BigDecimal number = new BigDecimal(text.strip());
            switch (argument.tag()) {
                case 'i' ->
                    out.writeInt(number.setScale(0, RoundingMode.HALF_UP).intValueExact());
                case 'h' ->
                    out.writeLong(number.setScale(0, RoundingMode.HALF_UP).longValueExact());
                case 'f' -> out.writeFloat(number.floatValue());
                default -> out.writeDouble(number.doubleValue());
            }
        } catch (ArithmeticException | NumberFormatException e) {
            out.release();
            throw new IllegalArgumentException(
                    "the OSC argument " + argument.value() + " is no number of type " + argument.tag() + ": " + text,
                    e);
        }
    }

    /** A string ends at its first NUL, so one within it cannot be sent. */
    private static void writeString(String string, ByteBuf out) {
        int start = out.writerIndex();
        ByteBufUtil.writeUtf8(out, string.indexOf('\0') < 0 ? string : string.replace('\0', ' '));
        out.writeByte(0);
        pad(out, start);
    }

    private static void writeBlob(byte[] bytes, ByteBuf out) {
        out.writeInt(bytes.length);
        int start = out.writerIndex();
        out.writeBytes(bytes);
        pad(out, start);
    }

    private static void pad(ByteBuf out, int start) {
        out.writeZero(-(out.writerIndex() - start) & 3);
    }
}
