package instep.daemon;

import instep.host.NotifySocket;
import java.util.concurrent.TimeUnit;

/**
 * What the service manager is told of a running desk, by the loop's own thread: that this thread still gets round, and how the desk stands. A loop that is stuck in
 * whatever it does falls silent, and the service is started again. Loop thread only.
 */
final class LifeSigns {
    /** A status waits so long after the turn that changed it: it stays out of the way of a press, and of one after the other in a flurry the last is told. */
    private static final long CALM_NANOS = TimeUnit.MILLISECONDS.toNanos(250);

    private final Loop loop;
    private Switchboard switchboard;
    private Standing standing;
    private final NotifySocket service;
    private boolean willTell;
    private boolean isOver;

    LifeSigns(Loop loop, Switchboard switchboard, Standing standing, NotifySocket service) {
        this.loop = loop;
        this.switchboard = switchboard;
        this.standing = standing;
        this.service = service;
    }

    /** The desk runs. */
    void begin() {
        service.ready(standing.tell());
        switchboard.afterEachTurn(this::look);
        if (service.kickEveryNanos() > 0) {
            kick(loop.now());
        }
    }

    /** Another configuration is in force, and another switchboard with it. */
    void goOn(Switchboard other, Standing now) {
        switchboard = other;
        standing = now;
        switchboard.afterEachTurn(this::look);
        tell();
    }

    /** Somebody has asked for the configuration to be read again, and it is being read. */
    void reloading() {
        service.reloading(System.nanoTime());
    }

    /** That is done with, whatever came of it. */
    void reloaded() {
        service.ready(standing.tell());
    }

    /** A sign that comes late says that the loop stood still where no turn was: that is written down, since the service manager does not. */
    private void kick(long due) {
        if (!isOver) {
            service.kick();
            switchboard.cameRound(due);
            long next = loop.now() + loop.passes(service.kickEveryNanos());
            loop.at(next, () -> kick(next));
        }
    }

    /** Another status is told, if there is one. */
    void look() {
        if (!willTell && standing.isNews()) {
            willTell = true;
            loop.at(loop.now() + loop.passes(CALM_NANOS), this::tell);
        }
    }

    private void tell() {
        willTell = false;
        if (!isOver) {
            service.status(standing.tell());
        }
    }

    /** The desk ends. */
    void end(String why) {
        isOver = true;
        switchboard.afterEachTurn(() -> {});
        service.stopping(why);
        service.close();
    }
}
