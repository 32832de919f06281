package instep.gear;

import io.netty.bootstrap.Bootstrap;
import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.util.NetUtil;
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
 * ends with the answer, so that neither a slow name server nor a device that has moved holds anything up. Loop thread only.
 */
final class Dialer {
    /** Who wants the connection. */
    interface Caller {
        void connected(Channel channel);

        /** Another attempt follows by itself. */
        void failed(Throwable cause);
    }

    /** A connection that ends sooner than this does not make the next pauses short again. */
    private static final long STEADY_NANOS = TimeUnit.SECONDS.toNanos(5);

    private static final long HURRY_NANOS = TimeUnit.MILLISECONDS.toNanos(100);

    private final Net net;
    private final Bootstrap bootstrap;
    private final InetSocketAddress target;
    private final Caller caller;
    private final Backoff backoff =
            new Backoff(() -> ThreadLocalRandom.current().nextDouble());
    private @Nullable ScheduledFuture<?> pause;
    private boolean dialling;
    private boolean hurried;
    private boolean closed;
    private long dialledAt;
    private int attempts;

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
        if (pause != null) {
            pause.cancel(false);
        }
    }

    private void lookUp() {
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
            return () -> connect(found[Math.floorMod(attempts++, found.length)]);
        } catch (UnknownHostException e) {
            return () -> failed(e);
        }
    }

    private void connect(InetAddress address) {
        if (closed) {
            return;
        }
        ChannelFuture attempt = bootstrap.connect(new InetSocketAddress(address, target.getPort()));
        attempt.addListener((ChannelFuture f) -> {
            if (f.isSuccess()) {
                succeeded(f.channel());
            } else {
                failed(f.cause());
            }
        });
    }

    private void succeeded(Channel channel) {
        dialling = false;
        if (closed) {
            Net.close(channel);
        } else {
            net.tap(channel);
            caller.connected(channel);
        }
    }

    private void failed(Throwable cause) {
        dialling = false;
        if (!closed) {
            caller.failed(cause);
            dialLater();
        }
    }
}
