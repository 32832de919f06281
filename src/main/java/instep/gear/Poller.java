package instep.gear;

import instep.machine.Values;
import java.util.concurrent.ScheduledFuture;
import org.jspecify.annotations.Nullable;

/**
 * Asks one HTTP gear the same thing over and over, on a connection of its own, so that no message ever waits behind a question. Of failures that follow
 * each other only the first is told. Loop thread only.
 */
final class Poller implements GearListener {
    private static final Values NO_VALUES = name -> null;
    private static final long NOBODY = -1;

    private final Listening.Poll poll;
    private final Net net;
    private final GearListener listener;
    private final int gear;
    private final Link link;
    private @Nullable ScheduledFuture<?> timer;
    private boolean asking;
    private boolean failing;
    private boolean closed;

    /** Asks the gear of that number. */
    Poller(GearSettings settings, Listening.Poll poll, Net net, GearListener listener, int gear) {
        this.poll = poll;
        this.net = net;
        this.listener = listener;
        this.gear = gear;
        link = Links.to(settings, net, new Report(this, gear));
    }

    void start() {
        link.start();
        ask();
    }

    /** A question that is open then is nobody's loss. */
    void close() {
        closed = true;
        if (timer != null) {
            timer.cancel(false);
        }
        link.close();
    }

    private void ask() {
        timer = net.after(poll.everyNanos(), this::ask);
        if (!asking && link.isUp()) {
            asking = true;
            link.send(poll.payload(), NO_VALUES, NOBODY);
        }
    }

    @Override
    public void link(int number, LinkState state, String why) {
        if (state == LinkState.UP && !asking) {
            asking = true;
            link.send(poll.payload(), NO_VALUES, NOBODY);
        }
    }

    @Override
    public void sent(int number, long ticket, String text, long nanos) {
        listener.asked(gear, nanos);
    }

    @Override
    public void missed(int number, long ticket, String text, String why) {
        asking = false;
    }

    @Override
    public void answer(int number, long ticket, String body, long nanos) {
        listener.answer(gear, NOBODY, body, nanos);
    }

    @Override
    public void reply(int number, long ticket, String text, long nanos) {
        asking = false;
        failing = false;
    }

    @Override
    public void refused(int number, long ticket, boolean silent, @Nullable String why) {
        asking = false;
        if (!failing && !closed) {
            failing = true;
            listener.refused(gear, NOBODY, silent, "asked how it is: " + (why == null ? "no answer" : why));
        }
    }
}
