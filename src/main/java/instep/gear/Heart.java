package instep.gear;

import instep.machine.Values;
import java.util.concurrent.ScheduledFuture;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * The heartbeat of one link: says something small over and over, and gives the connection up when nothing comes back. A peer that has frozen, or a
 * firewall between that has forgotten it, keeps its side open for as long as it likes. Loop thread only.
 */
final class Heart {
    /** The ticket of what it says; nobody else's. */
    private static final long TICKET = -2;

    private static final Values NO_VALUES = name -> null;

    private final Listening.@Nullable Heartbeat beat;
    private final Net net;
    private final Link link;
    private @Nullable ScheduledFuture<?> timer;
    private boolean waiting;

    /** Beats while the link is up; never, if there is no heartbeat. */
    Heart(Listening.@Nullable Heartbeat beat, Net net, Link link) {
        this.beat = beat;
        this.net = net;
        this.link = link;
    }

    void link(GearListener.LinkState state) {
        stop();
        if (state == GearListener.LinkState.UP) {
            rest();
        }
    }

    void stop() {
        waiting = false;
        if (timer != null) {
            timer.cancel(false);
            timer = null;
        }
    }

    private void rest() {
        if (beat != null) {
            timer = net.after(beat.everyNanos(), () -> beat(beat));
        }
    }

    private void beat(Listening.Heartbeat now) {
        waiting = true;
        timer = net.after(now.withinNanos(), () -> {
            stop();
            long millis = TimeUnit.NANOSECONDS.toMillis(now.withinNanos());
            link.reset("no answer to the heartbeat within " + millis + " ms: is it frozen?");
        });
        link.send(now.payload(), NO_VALUES, TICKET);
    }

    private void alive() {
        stop();
        rest();
    }

    boolean isOurs(long ticket) {
        return ticket == TICKET;
    }

    /** Whether it was the heartbeat that was sent. */
    boolean sent(long ticket) {
        return ticket == TICKET;
    }

    /** Whether it was the heartbeat that was missed: then nothing has come back either, and the time runs on. */
    boolean missed(long ticket) {
        return ticket == TICKET;
    }

    /** Whether the reply is to the heartbeat and to nothing else. */
    boolean heard(long ticket, String text) {
        if (!waiting || beat == null) {
            return ticket == TICKET;
        }
        Match expect = beat.expect();
        boolean answers = ticket == TICKET || (expect != null && Conversation.fits(expect, text));
        if (answers || expect == null) {
            alive();
        }
        return answers;
    }

    /** Whether it was the heartbeat that was refused; who refuses lives. */
    boolean refused(long ticket, boolean silent) {
        if (ticket == TICKET && !silent && waiting) {
            alive();
        }
        return ticket == TICKET;
    }
}
