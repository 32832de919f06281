package instep.gear;

import java.io.IOException;

/** Where sound goes out of this machine. Everything here may block: it is called on a thread of its own. */
@FunctionalInterface
interface SoundOutput {
    /** What is called for whatever the machine has as its usual output. */
    String DEFAULT = "default";

    /** Opens an output by its name; throws if there is none of that name or it cannot be had. */
    Line open(String name) throws UnfitException;

    /** An open output for samples as {@link Tone} makes them. */
    interface Line extends AutoCloseable {
        /** Plays samples from their first to their last, and returns when they are out; throws if the output is gone. */
        Played play(byte[] samples) throws IOException;

        @Override
        void close();
    }

    /**
     * When samples went out.
     *
     * @param firstSample counted from the opening of the line
     * @param nanos {@code System.nanoTime()} at which the first one went out, as far as the output tells
     */
    record Played(long firstSample, long nanos) {}
}
