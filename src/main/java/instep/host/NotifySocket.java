package instep.host;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;

/**
 * The socket on which the service manager listens to this process, and what can be said there: sd_notify(3). A message is one datagram, which is sent at once or
 * not at all: nobody here ever waits for the service manager. Its methods may be called from any thread, one at a time.
 */
public final class NotifySocket implements AutoCloseable {
    private static final int FAMILY_BYTES = 2;
    /** Of sun_path in struct sockaddr_un: unix(7). */
    private static final int MOST_PATH_BYTES = 108;

    private static final long NANOS_PER_MICRO = 1_000;
    /** What a person reads in one line of a terminal; the rest is cut off. */
    private static final int MOST_STATUS = 300;

    private final int fd;
    private final byte[] address;
    private final long watchdogNanos;

    private NotifySocket(int fd, byte[] address, long watchdogNanos) {
        this.fd = fd;
        this.address = address;
        this.watchdogNanos = watchdogNanos;
    }

    /** Whether these environment variables name a socket, and so whether a service manager has started this process and waits for what it says. */
    public static boolean isNamed(Map<String, String> environment) {
        return !environment.getOrDefault("NOTIFY_SOCKET", "").isEmpty();
    }

    /** The socket that these environment variables name; empty if no service manager listens. */
    public static Optional<NotifySocket> of(Map<String, String> environment) {
        byte[] path = environment.getOrDefault("NOTIFY_SOCKET", "").getBytes(StandardCharsets.UTF_8);
        boolean isKnown = path.length > 0 && path.length <= MOST_PATH_BYTES && (path[0] == '/' || path[0] == '@');
        if (!isKnown) {
            return Optional.empty();
        }
        int fd = Libc.socket(Libc.AF_UNIX, Libc.SOCK_DGRAM | Libc.SOCK_CLOEXEC, 0);
        return fd < 0
                ? Optional.empty()
                : Optional.of(new NotifySocket(fd, addressOf(path), watchdogNanos(environment)));
    }

    /** struct sockaddr_un. An address of the abstract namespace, written with {@code @}, begins with a zero byte. */
    private static byte[] addressOf(byte[] path) {
        if (path[0] == '@') {
            path[0] = 0;
        }
        return ByteBuffer.allocate(FAMILY_BYTES + path.length)
                .order(ByteOrder.nativeOrder())
                .putShort(Libc.AF_UNIX)
                .put(path)
                .array();
    }

    /** sd_watchdog_enabled(3): the variables may be meant for another process. */
    private static long watchdogNanos(Map<String, String> environment) {
        String process = environment.getOrDefault("WATCHDOG_PID", "");
        if (!process.isEmpty()
                && !process.equals(String.valueOf(ProcessHandle.current().pid()))) {
            return 0;
        }
        try {
            return Math.max(0, Long.parseLong(environment.getOrDefault("WATCHDOG_USEC", "0"))) * NANOS_PER_MICRO;
        } catch (NumberFormatException e) {
            return 0;
        }
    }

    /** How often the watchdog wants to hear of us, in nanoseconds: half of the time after which it acts. 0: there is no watchdog. */
    public long kickEveryNanos() {
        return watchdogNanos / 2;
    }

    /** The service is up. */
    public void ready(String status) {
        send("READY=1\n" + line(status));
    }

    /** What the service does at the moment, in words for a person. */
    public void status(String status) {
        send(line(status));
    }

    /** The configuration is being read again; {@link #ready} ends it. systemd.service(5), {@code Type=notify-reload}, wants the time as well. */
    public void reloading(long monotonicNanos) {
        send("RELOADING=1\nMONOTONIC_USEC=" + TimeUnit.NANOSECONDS.toMicros(monotonicNanos) + "\n");
    }

    /** The service ends. */
    public void stopping(String status) {
        send("STOPPING=1\n" + line(status));
    }

    /** Still alive. */
    public void kick() {
        send("WATCHDOG=1\n");
    }

    private static String line(String status) {
        String one = status.lines().findFirst().orElse("");
        return "STATUS=" + (one.length() > MOST_STATUS ? one.substring(0, MOST_STATUS) : one) + "\n";
    }

    /** A service manager that is busy or away misses it; the next one tells it more. */
    private void send(String assignments) {
        byte[] bytes = assignments.getBytes(StandardCharsets.UTF_8);
        Libc.sendto(fd, bytes, bytes.length, Libc.MSG_DONTWAIT | Libc.MSG_NOSIGNAL, address, address.length);
    }

    @Override
    public void close() {
        Libc.close(fd);
    }
}
