package instep.gear;

import io.netty.channel.Channel;
import io.netty.util.concurrent.Future;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/** Text or bytes over TCP, in the clear or over TLS. */
final class TcpPlug implements Plug {
    private final Framing framing;
    private final @Nullable Secure secure;

    /** Blocks on the files of TLS, if there are any. */
    TcpPlug(GearSettings.Tcp settings) throws UnfitException {
        this.framing = settings.framing();
        this.secure = Secure.to(settings, settings.tls());
    }

    @Override
    public Wire.Encoder encoder() {
        return new TextEncoder(framing);
    }

    @Override
    public void wire(Channel channel, Hearer hearer) {
        if (secure != null) {
            secure.wire(channel);
        }
        channel.pipeline().addLast(new StreamEars(hearer, each -> frames(framing, each)));
    }

    static Frames frames(Framing framing, Consumer<String> each) {
        if (framing instanceof Framing.Length prefix) {
            return new LengthFrames(prefix.bytes(), Pieces::text, each);
        }
        return framing == GearSettings.LineEnd.NONE ? new Pieces(each) : new Lines(each);
    }

    @Override
    public @Nullable Future<?> agreed(Channel connected) {
        return secure == null ? null : Secure.agreed(connected);
    }
}
