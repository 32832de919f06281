package instep.gear;

import instep.machine.Values;
import java.util.function.LongPredicate;

/** The way to one gear. Loop thread only. */
sealed interface Link permits StreamLink, DatagramLink, HttpLink, SerialLink, SlowLink, BrokenLink {
    /** Begins to connect. */
    void start();

    /** Sends now, or as soon as the gear is there; reports what became of it. */
    void send(Payload payload, Values values, long ticket);

    /** What still waits to be sent under these tickets is reported as missed, and never sent. */
    void withdraw(LongPredicate tickets, String why);

    /** Ready to be told things, as last reported. */
    boolean isUp();

    /** Nothing waits to be sent or answered. */
    boolean isQuiet();

    /** Gives the present connection up, which is of no use for that reason, and makes another. */
    void reset(String why);

    /** Ends it at once; what waits is reported as missed, and nothing after that. */
    void close();
}
