package instep.desk;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.Unpooled;
import io.netty.channel.Channel;
import io.netty.channel.EventLoop;
import io.netty.util.concurrent.Future;
import java.nio.charset.StandardCharsets;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import org.jspecify.annotations.Nullable;

/**
 * The pages that are being looked at: each is told all when it comes and whenever something changes, at most 25 times a second, and where time has got to once a
 * second. Since each telling is the whole, one that does not keep up misses some, but never the last, and one that has stopped reading is let go. Nothing wakes up while nobody looks.
 * Desk thread only, but for {@link #news}.
 */
final class Viewers {
    static final int MOST = 32;
    private static final long BEAT_MILLIS = 1_000;
    private static final long SHORTEST_NANOS = 40_000_000L;

    private final EventLoop loop;
    private final Board board;
    private final AtomicBoolean told = new AtomicBoolean();
    private final Map<Channel, Viewer> viewers = new LinkedHashMap<>();

    private volatile boolean watched;
    private @Nullable Future<?> beat;
    private long lastTold = System.nanoTime() - SHORTEST_NANOS;
    private List<Alarm> alarms = List.of();

    Viewers(EventLoop loop, Board board) {
        this.loop = loop;
        this.board = board;
    }

    /** There is something new to show. From any thread; neither blocks nor waits. */
    void news() {
        if (watched && told.compareAndSet(false, true)) {
            loop.execute(this::tellSoon);
        }
    }

    /** Begins to tell a page; false if too many look. */
    boolean take(Channel viewer) {
        if (viewers.size() >= MOST) {
            return false;
        }
        watched = true;
        Viewer one = new Viewer(viewer, () -> bytes(state()));
        viewers.put(viewer, one);
        one.begin(bytes("retry: 1000\n\n" + state()));
        if (beat == null) {
            beat = loop.scheduleAtFixedRate(this::beat, BEAT_MILLIS, BEAT_MILLIS, TimeUnit.MILLISECONDS);
        }
        return true;
    }

    /** It is not connected any more. */
    void gone(Channel viewer) {
        viewers.remove(viewer);
        if (viewers.isEmpty() && beat != null) {
            watched = false;
            beat.cancel(false);
            beat = null;
        }
    }

    int count() {
        return viewers.size();
    }

    @SuppressWarnings("FutureReturnValueIgnored")
    private void tellSoon() {
        long wait = lastTold + SHORTEST_NANOS - System.nanoTime();
        if (wait > 0) {
            loop.schedule(this::tell, wait, TimeUnit.NANOSECONDS);
        } else {
            tell();
        }
    }

    private void tell() {
        told.set(false);
        lastTold = System.nanoTime();
        alarms = board.alarms();
        if (!viewers.isEmpty()) {
            say(state(), true);
        }
    }

    private void beat() {
        List.copyOf(viewers.values()).forEach(Viewer::beat);
        if (alarms.equals(board.alarms())) {
            say(event("beat", board.beat()), false);
        } else {
            tell();
        }
    }

    private void say(String event, boolean isAll) {
        ByteBuf bytes = bytes(event);
        List.copyOf(viewers.values()).forEach(viewer -> viewer.tell(bytes, isAll));
        bytes.release();
    }

    private String state() {
        return event("state", board.state());
    }

    /** An event of a stream (HTML Living Standard, section 9.2.5); JSON as it is written here has no line ends. */
    private static String event(String name, String data) {
        return "event: " + name + "\ndata: " + data + "\n\n";
    }

    private static ByteBuf bytes(String text) {
        return Unpooled.wrappedBuffer(text.getBytes(StandardCharsets.UTF_8));
    }
}
