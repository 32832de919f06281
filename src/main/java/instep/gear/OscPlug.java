package instep.gear;

import instep.gear.GearSettings.OscCarrier;
import instep.machine.Values;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufAllocator;
import io.netty.channel.Channel;
import io.netty.util.concurrent.Future;
import org.jspecify.annotations.Nullable;

/** OSC packets over TCP or TLS, framed after OSC 1.0 or after 1.1. */
final class OscPlug implements Plug {
    private final OscCarrier carrier;
    private final @Nullable Secure secure;

    /** Blocks on the files of TLS, if there are any. */
    OscPlug(GearSettings.Osc settings) throws UnfitException {
        this.carrier = settings.carrier();
        this.secure = Secure.to(settings, settings.tls());
    }

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
        if (secure != null) {
            secure.wire(channel);
        }
        channel.pipeline()
                .addLast(new StreamEars(
                        hearer,
                        each -> carrier == OscCarrier.TCP_SLIP
                                ? new Slip(OscText::of, each)
                                : new LengthFrames(Integer.BYTES, OscText::of, each)));
    }

    @Override
    public @Nullable Future<?> agreed(Channel connected) {
        return secure == null ? null : Secure.agreed(connected);
    }
}
