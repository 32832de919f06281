package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.input.KeyPipe;
import io.netty.channel.SingleThreadIoEventLoop;
import io.netty.util.concurrent.AbstractScheduledEventExecutor;
import java.io.IOException;
import java.lang.reflect.Field;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Collection;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

@Timeout(60)
class WarmupTest {
    private static final int KEY_A = 30;

    private static final String CONFIGURATION = """
            instep: 1
            timecode: { rate: 25 }
            gear: { mixer: { tcp: "127.0.0.1:%d", stale-after: 30s } }
            angles: { wheel: { reel: WHEEL, cut: { mixer: CUT 2 } } }
            pedals: { floor: { match: { usb: "0000:0000" }, contacts: { left: KEY_A } } }
            machine: { initial: standby, states: { standby: { on: { left.press: { angle: wheel } } } } }
            """;

    @Test
    void leavesNothingBehind() throws Exception {
        try (Loop loop = Loop.open(1)) {
            // The first run loads what a program has once and keeps.
            assertThat(Warmup.run(loop)).isEmpty();
            long descriptors = descriptors();
            Set<Thread> threads = threads();
            assertThat(Warmup.run(loop)).isEmpty();
            await().pollInSameThread().untilAsserted(() -> {
                assertThat(descriptors()).isEqualTo(descriptors);
                assertThat(threads).containsAll(threads());
                assertThat(channels(loop)).isNotPositive(); // descriptors of devices are taken off, but never counted
                assertThat(timers(loop)).isEqualTo(1); // the loop's own, which keeps it asleep
            });
        }
    }

    @Test
    void leavesALoopAloneThatCannotReadDevices() {
        try (Loop loop = Loop.withoutDevices(1)) {
            assertThat(Warmup.run(loop)).isEmpty();
        }
    }

    @Test
    void worksWhereTimeRunsFaster() {
        try (Loop loop = Loop.open(100)) {
            assertThat(Warmup.run(loop)).isEmpty();
        }
    }

    @Test
    void saysWhatItsFailureMeans() {
        Loop loop = Loop.open(1);
        loop.close();
        assertThat(Warmup.run(loop)).get().asString().contains("the first cut", "late", "rehears");
    }

    @Test
    void theFirstPressAfterTheStartIsSent(@TempDir Path folder) throws Exception {
        try (ServerSocket mixer = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
                KeyPipe foot = KeyPipe.open();
                Daemon daemon = start(mixer.getLocalPort(), folder);
                Socket link = mixer.accept()) {
            daemon.attach(0, foot.readEnd());
            foot.key(KEY_A, true, System.nanoTime());
            assertThat(link.getInputStream().readNBytes(7)).asString().isEqualTo("CUT 2\r\n");
        }
    }

    @Test
    void isInNoRecord(@TempDir Path folder) throws Exception {
        try (ServerSocket mixer = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
                Daemon daemon = start(mixer.getLocalPort(), folder)) {
            assertThat(daemon.folder()).isEqualTo(folder);
        }
        try (Stream<Path> files = Files.list(folder)) {
            for (Path file : files.toList()) {
                assertThat(Files.readString(file, StandardCharsets.UTF_8))
                        .doesNotContain("rehears", "ONE", "TWO", "/roll");
            }
        }
        assertThat(folder.resolve("events.log")).content().contains("START", "STOP");
    }

    private static Daemon start(int port, Path folder) throws Exception {
        Settings settings = ConfigReader.parse("warm.yaml", CONFIGURATION.formatted(port));
        return Daemon.start(settings, new Daemon.Options(folder, 1, Optional.empty(), false));
    }

    private static long descriptors() throws IOException {
        try (Stream<Path> all = Files.list(Path.of("/proc/self/fd"))) {
            return all.count();
        }
    }

    private static Set<Thread> threads() {
        return Thread.getAllStackTraces().keySet().stream()
                .filter(Thread::isAlive)
                .collect(Collectors.toSet());
    }

    private static int channels(Loop loop) {
        return ((SingleThreadIoEventLoop) loop.eventLoop()).registeredChannels();
    }

    /** Netty does not say how many tasks wait for their time. */
    private static int timers(Loop loop) throws Exception {
        Field queue = AbstractScheduledEventExecutor.class.getDeclaredField("scheduledTaskQueue");
        queue.setAccessible(true);
        return CompletableFuture.supplyAsync(
                        () -> {
                            try {
                                return ((Collection<?>) queue.get(loop.eventLoop())).size();
                            } catch (IllegalAccessException e) {
                                throw new IllegalStateException(e);
                            }
                        },
                        loop.eventLoop())
                .get();
    }
}
