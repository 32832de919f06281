package instep.gear;

import instep.machine.Values;
import java.util.function.LongPredicate;

/** The way to a gear that cannot be gone because something is missing on this machine. It says so, and misses everything. Loop thread only. */
record BrokenLink(GearSettings gear, String why, Report report) implements Link {
    @Override
    public void start() {
        report.lost(why);
    }

    @Override
    public void send(Payload payload, Values values, long ticket) {
        report.missed(ticket, Wording.of(gear, payload, values), why);
    }

    @Override
    public void withdraw(LongPredicate tickets, String because) {
        // Nothing waits here.
    }

    @Override
    public boolean isUp() {
        return false;
    }

    @Override
    public boolean isQuiet() {
        return true;
    }

    @Override
    public void reset(String because) {
        // There is no connection that could be given up.
    }

    @Override
    public void close() {
        report.end();
    }
}
