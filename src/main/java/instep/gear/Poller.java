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
    private final Post listener;
    private final Link link;
    private @Nullable ScheduledFuture<?> timer;
    private boolean asking;
    private boolean failing;
    private boolean closed;

    /** Asks that gear. */
    Poller(GearSettings settings, Listening manners, Listening.Poll poll, Net net, Post listener) {
        this.poll = poll;
        this.net = net;
        this.listener = listener;
        link = Links.to(settings, manners, net, new Report(this, listener.gear()));
    }

    /** Whether this is what is asked. */
    boolean asks(Listening.@Nullable Poll other) {
        return poll.equals(other);
    }

    /** Goes on for another listener. */
    void goOn(GearListener other, int number) {
        listener.to(other, number);
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
        listener.asked(listener.gear(), nanos);
    }

    @Override
    public void missed(int number, long ticket, String text, String why) {
        asking = false;
    }

    @Override
    public void answer(int number, long ticket, String body, long nanos) {
        listener.answer(listener.gear(), NOBODY, body, nanos);
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
            listener.refused(listener.gear(), NOBODY, silent, "asked how it is: " + (why == null ? "no answer" : why));
        }
    }
}
