package instep.rehearsal;

import instep.gear.Crew;
import instep.gear.Message;
import instep.machine.Values;
import java.util.function.LongPredicate;

/** The gear of a replay: nobody is told anything, since what gear did then is in the journal. */
public final class Nobody implements Crew {
    @Override
    public void start() {
        // The links come and go as they did.
    }

    @Override
    public void send(Message message, Values values, long ticket) {
        // Nobody hears it.
    }

    @Override
    public void sendTo(int gear, Message message, Values values, long ticket) {
        // Nobody hears it.
    }

    @Override
    public void takeBack(int gear, LongPredicate tickets) {
        // Nothing waits.
    }

    @Override
    public void withdraw(LongPredicate tickets, String why) {
        // Nothing waits.
    }

    @Override
    public boolean isQuiet() {
        return true;
    }

    @Override
    public void close() {
        // Nothing is open.
    }
}
