package instep.gear;

import io.netty.util.concurrent.ScheduledFuture;
import java.util.ArrayDeque;
import java.util.Iterator;
import java.util.function.LongPredicate;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;

/**
 * What waits for a link, oldest first: no more than may, and each no longer than until it is stale; then it is reported as missed. When full, the
 * oldest goes, because the newest says what should be on air. Loop thread only.
 */
final class Waiting<T extends Outgoing> {
    private final Net net;
    private final Report report;
    private final Supplier<String> because;
    private final ArrayDeque<T> queue = new ArrayDeque<>();
    private @Nullable ScheduledFuture<?> timer;

    /** Tells {@code because} with what went stale. */
    Waiting(Net net, Report report, Supplier<String> because) {
        this.net = net;
        this.report = report;
        this.because = because;
    }

    void add(T item) {
        if (queue.size() >= net.queue()) {
            miss(queue.remove(), "more than " + net.queue() + " messages wait: " + because.get());
        }
        queue.add(item);
        watch();
    }

    /** Puts one back that had its turn; it keeps its deadline, and goes at once if that is over. */
    void addFirst(T item) {
        queue.addFirst(item);
        dropStale();
        if (timer != null) {
            timer.cancel(false);
            timer = null;
        }
        watch();
    }

    boolean isEmpty() {
        return queue.isEmpty();
    }

    /** The oldest that is not stale. */
    @Nullable T poll() {
        dropStale();
        return queue.poll();
    }

    void clear(String why) {
        while (!queue.isEmpty()) {
            miss(queue.remove(), why);
        }
        if (timer != null) {
            timer.cancel(false);
        }
    }

    /** Takes out what has not been sent under these tickets. */
    void withdraw(LongPredicate tickets, String why) {
        if (queue.isEmpty()) { // which it is, mostly, and this is on the way of every cut
            return;
        }
        for (Iterator<T> all = queue.iterator(); all.hasNext(); ) {
            T item = all.next();
            if (!item.isSent() && tickets.test(item.ticket())) {
                all.remove();
                miss(item, why);
            }
        }
    }

    /** One timer for the oldest; when it finds that one gone, it looks at the next. */
    private void watch() {
        if (timer == null && !queue.isEmpty()) {
            timer = net.after(queue.element().deadline() - net.nanos(), () -> {
                timer = null;
                dropStale();
                watch();
            });
        }
    }

    private void dropStale() {
        long now = net.nanos();
        while (!queue.isEmpty() && queue.element().deadline() - now <= 0) {
            miss(queue.remove(), because.get());
        }
    }

    private void miss(T item, String why) {
        item.wire().release();
        if (item.isSent()) {
            report.refused(item.ticket(), true, why);
        } else {
            report.missed(item.ticket(), item.wire().text(), why);
        }
    }
}
