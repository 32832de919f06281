package instep.gear;

import instep.gear.GearSettings.OscCarrier;
import instep.machine.Values;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufAllocator;
import io.netty.channel.Channel;

/** OSC packets over TCP, framed after OSC 1.0 or after 1.1. */
record OscPlug(OscCarrier carrier) implements Plug {
    @Override
    public Wire.Encoder encoder() {
        OscEncoder plain = new OscEncoder();
        return (payload, values) -> framed(plain, payload, values);
    }

    private Wire framed(OscEncoder plain, Payload payload, Values values) {
        Wire packet = plain.encode(payload, values);
        int length = packet.bytes().readableBytes();
        ByteBuf out = ByteBufAllocator.DEFAULT.directBuffer(length + Integer.BYTES);
        if (carrier == OscCarrier.TCP_SLIP) {
            Slip.write(packet.bytes(), out);
        } else {
            out.writeInt(length).writeBytes(packet.bytes());
        }
        packet.release();
        return new Wire(out, packet.text());
    }

    @Override
    public void wire(Channel channel, Hearer hearer) {
        channel.pipeline()
                .addLast(new StreamEars(
                        hearer,
                        each -> carrier == OscCarrier.TCP_SLIP
                                ? new Slip(OscText::of, each)
                                : new LengthFrames(Integer.BYTES, OscText::of, each)));
    }
}
