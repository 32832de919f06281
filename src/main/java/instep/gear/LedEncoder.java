package instep.gear;

import instep.machine.Values;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufAllocator;
import java.util.HexFormat;

/** Bytes given in hex as an output report: its number comes first, 0 where a device does not number them (Documentation/hid/hidraw.rst, write). */
record LedEncoder(int report) implements Wire.Encoder {
    private static final HexFormat SPACED = HexFormat.ofDelimiter(" ");

    @Override
    public Wire encode(Payload payload, Values values) {
        if (!(payload instanceof Payload.Bytes hex)) {
            throw new IllegalArgumentException("a pedal's lamp takes hex bytes, nothing else");
        }
        byte[] plain = HexFormat.of().parseHex(hex.hex());
        ByteBuf bytes = ByteBufAllocator.DEFAULT
                .directBuffer(plain.length + 1)
                .writeByte(report)
                .writeBytes(plain);
        String number = report == 0 ? "report " : "report " + report + ": ";
        return new Wire(bytes, Render.line(number + SPACED.formatHex(plain)));
    }
}
