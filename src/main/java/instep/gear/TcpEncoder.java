package instep.gear;

import instep.machine.Template;
import instep.machine.Values;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufAllocator;
import io.netty.buffer.ByteBufUtil;
import java.util.HexFormat;

/** Lines of text with the gear's line end, and bytes given in hex. */
record TcpEncoder(String lineEnd) implements Wire.Encoder {
    private static final HexFormat SPACED = HexFormat.ofDelimiter(" ");

    @Override
    public Wire encode(Payload payload, Values values) {
        if (payload instanceof Payload.Text line) {
            String text = line.text().render(Render.oneLine(values), Template.Escape.NONE);
            ByteBuf bytes = ByteBufAllocator.DEFAULT.directBuffer(ByteBufUtil.utf8Bytes(text) + lineEnd.length());
            ByteBufUtil.writeUtf8(bytes, text);
            ByteBufUtil.writeAscii(bytes, lineEnd);
            return new Wire(bytes, Render.line(text));
        }
        if (payload instanceof Payload.Bytes hex) {
            byte[] plain = HexFormat.of().parseHex(hex.hex());
            ByteBuf bytes = ByteBufAllocator.DEFAULT.directBuffer(plain.length).writeBytes(plain);
            return new Wire(bytes, Render.line("hex " + SPACED.formatHex(plain)));
        }
        throw new IllegalArgumentException("a TCP gear takes text or hex bytes, nothing else");
    }
}
