package instep.demo;

import java.util.List;

/** A device that is not there: it listens on a port of this machine and remembers what it was told. Safe for use by several threads. */
public interface StandIn extends AutoCloseable {
    /**
     * Something that it was told.
     *
     * @param text readable, one line
     * @param nanos {@code System.nanoTime()} when it had been read
     */
    record Heard(String text, long nanos) {}

    /** Where it listens, on 127.0.0.1. */
    int port();

    /** All that it was told, oldest first: a copy. */
    List<Heard> received();

    /** Stops listening and drops all connections. */
    @Override
    void close();
}
