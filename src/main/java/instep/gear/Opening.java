package instep.gear;

import io.netty.util.concurrent.ScheduledFuture;
import java.util.concurrent.Executor;
import java.util.concurrent.ThreadLocalRandom;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/**
 * How a link comes to something of this machine that keeps whoever opens it waiting: it is opened on another thread, and as long as that fails, or when it is lost, again after a pause
 * that grows. Loop thread only.
 */
final class Opening<T> {
    /** Opens it, and may wait for that. */
    @FunctionalInterface
    interface Attempt<T> {
        /** Throws {@link UnfitException}, with a sentence for a person, if it cannot be opened now. */
        T open() throws UnfitException;
    }

    private final Net net;
    private final Report report;
    private final Executor thread;
    private final Attempt<T> attempt;
    private final Consumer<T> opened;
    private final Backoff backoff =
            new Backoff(() -> ThreadLocalRandom.current().nextDouble());
    private @Nullable ScheduledFuture<?> pause;
    private boolean closed;

    /** Tries on {@code thread}, and gives what is open to {@code opened}, on the loop, even if nobody wants it any more. */
    Opening(Net net, Report report, Executor thread, Attempt<T> attempt, Consumer<T> opened) {
        this.net = net;
        this.report = report;
        this.thread = thread;
        this.attempt = attempt;
        this.opened = opened;
    }

    void start() {
        pause = null;
        thread.execute(() -> net.onLoop(outcome()));
    }

    private Runnable outcome() {
        try {
            T fresh = attempt.open();
            return () -> opened.accept(fresh);
        } catch (UnfitException e) {
            return () -> lost(e.why());
        }
    }

    /** What was opened is of use: the next pause is a short one. */
    void succeeded() {
        backoff.reset();
    }

    /** It is of no use, or not any more: it is opened again after a pause. */
    void lost(String why) {
        if (!closed) {
            report.lost(why);
            pause = net.after(backoff.nextNanos(), this::start);
        }
    }

    boolean isClosed() {
        return closed;
    }

    /** It is not opened any more. */
    void close() {
        closed = true;
        if (pause != null) {
            pause.cancel(false);
        }
    }
}
