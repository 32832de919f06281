package instep.gear;

import instep.machine.Values;
import java.util.function.LongPredicate;

/**
 * Who carries out what the machine says: the {@link Rack} with its links, or somebody who only takes note of it. Everything is called on the loop's
 * thread.
 */
public interface Crew extends AutoCloseable {
    /** Makes ready. */
    void start();

    /** Tells each gear its step. The values are used during the call only; each step reports with the same ticket. */
    void send(Message message, Values values, long ticket);

    /** Tells one gear its steps; nothing if there are none. */
    void sendTo(int gear, Message message, Values values, long ticket);

    /** What still waits under these tickets, for any gear, is reported as missed and never sent: something later has taken its place. */
    void withdraw(LongPredicate tickets, String why);

    /** What still waits under these tickets for that gear is never sent, and nothing is said of it, since nothing is lost: the gear is told the same again. */
    void takeBack(int gear, LongPredicate tickets);

    /** Nothing waits to be sent or to be answered: a good moment to close. */
    boolean isQuiet();

    /** Ends; what waits is given up. */
    @Override
    void close();
}
