package instep.gear;

import io.netty.channel.EventLoop;
import java.io.IOException;
import java.nio.ByteBuffer;
import org.jspecify.annotations.Nullable;

/** A way out that keeps a writer waiting until it has taken a message. It is called on a thread of its own, but for what says otherwise. */
@FunctionalInterface
interface SlowOutput {
    /** Opens it; throws, with a sentence for a person, if it is not there or cannot be had. */
    Opened open() throws UnfitException;

    /** It is open. */
    interface Opened {
        /** Loop thread: looks from now on whether it goes. If this throws, it is closed. */
        default void watch(EventLoop loop, Runnable gone) throws IOException {}

        /** Loop thread: looks no more. */
        default void unwatch() {}

        /** What a person is told when it is open. */
        String greeting();

        /**
         * Takes the bytes of one message.
         *
         * @throws UnfitException if it will not have this one
         * @throws IOException if it is gone
         */
        Taken take(ByteBuffer bytes) throws UnfitException, IOException;

        void close();
    }

    /**
     * It has taken a message.
     *
     * @param nanos {@code System.nanoTime()} at which it went out
     * @param reply what is to be known of that besides
     */
    record Taken(long nanos, @Nullable String reply) {}
}
