package instep.gear;

import io.netty.channel.Channel;
import io.netty.util.concurrent.Future;
import org.jspecify.annotations.Nullable;

/** What one kind of gear needs on a stream of bytes: how messages go out, and how what comes in is told apart. Loop thread only. */
interface Plug {
    /** Hears what a connection says. */
    interface Hearer {
        /** The gear said something, in one piece. */
        void said(Channel on, String text);

        /** The other side closed it, or it broke. */
        void gone(Channel on, @Nullable Throwable cause);

        /** It is of no more use, for this reason. */
        void useless(Channel on, String why);
    }

    /** From payloads to what is written into the channel. */
    Wire.Encoder encoder();

    /** Readies a channel that is about to connect. */
    void wire(Channel channel, Hearer hearer);

    /** What must be agreed on before the connection is of use; null if nothing. */
    default @Nullable Future<?> agreed(Channel connected) {
        return null;
    }
}
