package instep.gear;

import instep.machine.Template;
import instep.machine.Values;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufAllocator;
import io.netty.buffer.ByteBufUtil;
import java.util.HexFormat;

/** Text, JSON on one line, and bytes given in hex, framed as the gear wants it. A line end comes after text and JSON only, a length before anything. */
record TextEncoder(Framing framing) implements Wire.Encoder {
    private static final HexFormat SPACED = HexFormat.ofDelimiter(" ");

    @Override
    public Wire encode(Payload payload, Values values) {
        if (payload instanceof Payload.Text line) {
            return text(line.text().render(Render.oneLine(values), Template.Escape.NONE));
        }
        if (payload instanceof Payload.Json json) {
            return text(json.body().render(values, Template.Escape.JSON));
        }
        if (payload instanceof Payload.Bytes hex) {
            byte[] plain = HexFormat.of().parseHex(hex.hex());
            return new Wire(begin(plain.length, 0).writeBytes(plain), Render.line("hex " + SPACED.formatHex(plain)));
        }
        if (payload instanceof Payload.Tone tone) {
            return text(tone.words());
        }
        throw new IllegalArgumentException("this gear takes text, JSON or hex bytes, nothing else");
    }

    private Wire text(String text) {
        String end = framing instanceof GearSettings.LineEnd lineEnd ? lineEnd.characters() : "";
        ByteBuf bytes = begin(ByteBufUtil.utf8Bytes(text), end.length());
        ByteBufUtil.writeUtf8(bytes, text);
        ByteBufUtil.writeAscii(bytes, end);
        return new Wire(bytes, Render.line(text));
    }

    private ByteBuf begin(int length, int after) {
        if (!(framing instanceof Framing.Length prefix)) {
            return ByteBufAllocator.DEFAULT.directBuffer(length + after);
        }
        if (prefix.bytes() < 4 && length >= 1 << (8 * prefix.bytes())) {
            throw new IllegalArgumentException("a message of " + length + " bytes is longer than a length of "
                    + prefix.bytes() + (prefix.bytes() == 1 ? " byte can say" : " bytes can say"));
        }
        ByteBuf bytes = ByteBufAllocator.DEFAULT.directBuffer(prefix.bytes() + length);
        for (int shift = 8 * (prefix.bytes() - 1); shift >= 0; shift -= 8) {
            bytes.writeByte(length >>> shift);
        }
        return bytes;
    }
}
