package instep.gear;

import io.netty.bootstrap.Bootstrap;
import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.util.NetUtil;
import io.netty.util.concurrent.Future;
import io.netty.util.concurrent.ScheduledFuture;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.UnknownHostException;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ThreadLocalRandom;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * Tries to reach one address until it succeeds, with growing pauses. A host name is looked up anew for each attempt, on a thread of its own that
 * ends with the answer, so that neither a slow name server nor a device that has moved holds anything up. Once a name has been found, a name server that is
 * silent or knows it no longer does no harm: what it said last still counts. Loop thread only.
 */
final class Dialer {
    /** Who wants the connection. */
    interface Caller {
        void connected(Channel channel);

        /** What both sides must agree on before the connection is of use; null if nothing. */
        default @Nullable Future<?> agreed(Channel made) {
            return null;
        }

        /** Another attempt follows by itself. */
        void failed(Throwable cause);
    }

    /** A connection that ends sooner than this does not make the next pauses short again. */
    private static final long STEADY_NANOS = TimeUnit.SECONDS.toNanos(5);

    /** Longer than a name server in the same house takes. */
    private static final long ANSWER_NANOS = TimeUnit.MILLISECONDS.toNanos(500);

    private static final long HURRY_NANOS = TimeUnit.MILLISECONDS.toNanos(100);

    private final Net net;
    private final Bootstrap bootstrap;
    private final InetSocketAddress target;
    private final Caller caller;
    private final Backoff backoff =
            new Backoff(() -> ThreadLocalRandom.current().nextDouble());
    private @Nullable ScheduledFuture<?> pause;
    private @Nullable Channel agreeing;
    private boolean dialling;
    private boolean awaited;
    private boolean hurried;
    private boolean closed;
    private long dialledAt;
    private int attempts;
    private InetAddress[] known = {};
    private boolean asking;
    private @Nullable ScheduledFuture<?> patience;

    /** Calls the unresolved {@code target}. */
    Dialer(Net net, Bootstrap bootstrap, InetSocketAddress target, Caller caller) {
        this.net = net;
        this.bootstrap = bootstrap;
        this.target = target;
        this.caller = caller;
    }

    /** Tries now, if it is not trying. */
    void dial() {
        if (closed || dialling) {
            return;
        }
        if (pause != null) {
            pause.cancel(false);
            pause = null;
        }
        dialling = true;
        dialledAt = net.nanos();
        InetAddress literal = NetUtil.createInetAddressFromIpAddressString(target.getHostString());
        if (literal != null) {
            connect(literal);
        } else {
            lookUp();
        }
    }

    /** Somebody has something to say: cuts the pause short, though never to a drum-fire of attempts. */
    void hurry() {
        if (pause != null && !hurried) {
            hurried = true;
            pause.cancel(false);
            pauseFor(dialledAt + HURRY_NANOS - net.nanos());
        }
    }

    /** Tries again after a pause. */
    void dialLater() {
        if (!closed && !dialling && pause == null) {
            hurried = false;
            pauseFor(backoff.nextNanos());
        }
    }

    private void pauseFor(long nanos) {
        pause = net.after(nanos, () -> {
            pause = null;
            dial();
        });
    }

    /** The connection that it made has ended. */
    void ended() {
        if (net.nanos() - dialledAt >= STEADY_NANOS) {
            backoff.reset();
        }
    }

    void close() {
        closed = true;
        Net.close(agreeing);
        if (patience != null) {
            patience.cancel(false);
        }
        if (pause != null) {
            pause.cancel(false);
        }
    }

    private void lookUp() {
        awaited = true;
        if (known.length > 0) {
            patience = net.after(asking ? 0 : ANSWER_NANOS, this::connectToKnown);
        }
        if (asking) {
            return;
        }
        asking = true;
        Thread thread = new Thread(
                () -> {
                    Runnable answer = answer(target.getHostString());
                    try {
                        net.loop().execute(answer);
                    } catch (RejectedExecutionException e) {
                        // the program is ending, and nobody waits for the answer
                    }
                },
                "name-lookup");
        thread.setDaemon(true);
        thread.start();
    }

    private Runnable answer(String host) {
        try {
            InetAddress[] found = net.names().lookUp(host);
            return () -> answered(found, null);
        } catch (UnknownHostException e) {
            return () -> answered(known, e);
        }
    }

    /** An answer that nobody has waited for is for the next attempt. */
    private void answered(InetAddress[] found, @Nullable UnknownHostException cause) {
        asking = false;
        known = found;
        if (awaited && found.length > 0) {
            connectToKnown();
        } else if (awaited && cause != null) {
            awaited = false;
            failed(cause);
        }
    }

    private void connectToKnown() {
        awaited = false;
        if (patience != null) {
            patience.cancel(false);
            patience = null;
        }
        connect(known[Math.floorMod(attempts++, known.length)]);
    }

    private void connect(InetAddress address) {
        if (closed) {
            return;
        }
        ChannelFuture attempt = bootstrap.connect(new InetSocketAddress(address, target.getPort()));
        attempt.addListener((ChannelFuture f) -> {
            if (f.isSuccess()) {
                agree(f.channel());
            } else {
                failed(f.cause());
            }
        });
    }

    private void agree(Channel channel) {
        Future<?> agreed = closed ? null : caller.agreed(channel);
        if (agreed == null) {
            succeeded(channel);
            return;
        }
        agreeing = channel;
        agreed.addListener(f -> {
            if (f.isSuccess()) {
                succeeded(channel);
            } else {
                Net.close(channel);
                failed(f.cause());
            }
        });
    }

    private void succeeded(Channel channel) {
        agreeing = null;
        dialling = false;
        if (closed) {
            Net.close(channel);
        } else {
            net.tap(channel);
            caller.connected(channel);
        }
    }

    private void failed(Throwable cause) {
        agreeing = null;
        dialling = false;
        if (!closed) {
            caller.failed(cause);
            dialLater();
        }
    }
}
