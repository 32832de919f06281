package instep.host;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What is said, as sd_notify(3) and sd_watchdog_enabled(3) have it (systemd 252), and socat hears it. */
class NotifySocketTest {
    @TempDir
    private Path folder = Path.of("");

    private static NotifySocket open(Map<String, String> environment) {
        return NotifySocket.of(environment).orElseThrow();
    }

    private static long kicks(String micros, String process) {
        Map<String, String> environment =
                Map.of("NOTIFY_SOCKET", "/run/systemd/notify", "WATCHDOG_USEC", micros, "WATCHDOG_PID", process);
        try (NotifySocket socket = open(environment)) {
            return socket.kickEveryNanos();
        }
    }

    private static String ourPid() {
        return String.valueOf(ProcessHandle.current().pid());
    }

    @Test
    void saysEachThingInTheWordsOfTheProtocol() throws Exception {
        try (ServiceManager manager = ServiceManager.in(folder);
                NotifySocket socket = open(manager.environment())) {
            socket.ready("on air wide");
            socket.status("on air wheel, take 3");
            socket.kick();
            socket.reloading(1_234_567_890L);
            socket.stopping("stopped");
            manager.awaitLine("STATUS=stopped");
            assertThat(manager.heard())
                    .containsExactly(
                            "READY=1",
                            "STATUS=on air wide",
                            "STATUS=on air wheel, take 3",
                            "WATCHDOG=1",
                            "RELOADING=1",
                            "MONOTONIC_USEC=1234567",
                            "STOPPING=1",
                            "STATUS=stopped");
        }
    }

    @Test
    void reachesASocketOfTheAbstractNamespace() throws Exception {
        try (ServiceManager manager = ServiceManager.abstractly(folder);
                NotifySocket socket = open(manager.environment())) {
            socket.ready("on air wide");
            manager.awaitLine("STATUS=on air wide");
            assertThat(manager.heard()).containsExactly("READY=1", "STATUS=on air wide");
        }
    }

    @Test
    void keepsAStatusInItsLine() throws Exception {
        try (ServiceManager manager = ServiceManager.in(folder);
                NotifySocket socket = open(manager.environment())) {
            socket.status("lesson.yaml:3:1: unknown key\nWATCHDOG=trigger");
            socket.status("x".repeat(100_000));
            socket.kick();
            manager.awaitLine("WATCHDOG=1");
            assertThat(manager.heard())
                    .startsWith("STATUS=lesson.yaml:3:1: unknown key")
                    .noneMatch(line -> line.startsWith("WATCHDOG=trigger"))
                    .hasSize(3);
        }
    }

    @Test
    void lettersOfAllScriptsArrive() throws Exception {
        try (ServiceManager manager = ServiceManager.in(folder);
                NotifySocket socket = open(manager.environment())) {
            socket.status("on air töpfe");
            manager.awaitLine("STATUS=on air töpfe");
            assertThat(manager.heard()).hasSize(1);
        }
    }

    @Test
    void aManagerThatIsGoneIsNotMissed() {
        try (NotifySocket socket =
                open(Map.of("NOTIFY_SOCKET", folder.resolve("nobody").toString()))) {
            socket.ready("on air wide");
            socket.kick();
            assertThat(socket.kickEveryNanos()).isZero();
        }
    }

    @Test
    void withoutAServiceManagerThereIsNoSocket() {
        assertThat(NotifySocket.of(Map.of())).isEmpty();
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "relative/path", "vsock:2:1234"})
    void anAddressOfAnotherKindIsPassedOver(String address) {
        assertThat(NotifySocket.of(Map.of("NOTIFY_SOCKET", address))).isEmpty();
    }

    @Test
    void anAddressThatNoSocketCanHaveIsPassedOver() {
        // unix(7): sun_path has 108 bytes.
        assertThat(NotifySocket.of(Map.of("NOTIFY_SOCKET", "/" + "x".repeat(108))))
                .isEmpty();
    }

    @Test
    void kicksTwiceInTheTimeThatTheWatchdogGives() {
        assertThat(kicks("10000000", ourPid())).isEqualTo(TimeUnit.SECONDS.toNanos(5));
        assertThat(kicks("10000000", "")).isEqualTo(TimeUnit.SECONDS.toNanos(5));
    }

    @Test
    void leavesAWatchdogAloneThatIsMeantForAnotherProcess() {
        assertThat(kicks("10000000", "1")).isZero();
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "soon", "-5", "0"})
    void knowsNoWatchdogByATimeThatIsNone(String micros) {
        assertThat(kicks(micros, ourPid())).isZero();
    }
}
