package instep;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.daemon.Loop;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The program in a process of its own, as a service manager treats it: asked to reload, killed, started again. A pedal stands at a port of this machine. */
class ServiceTest {
    private static final String CONFIGURATION = """
            instep: 1
            timecode: { rate: 25 }
            angles: { wide: { reel: WIDE }, wheel: { reel: WHEEL }, hands: { reel: HANDS } }
            pedals:
              floor:
                listen: { tcp: "127.0.0.1:%d" }
                contacts: { left: { closed: "L 1", open: "L 0" }, right: { closed: "R 1", open: "R 0" } }
            timing: { debounce: 1ms }
            machine:
              initial: standby
              states:
                standby: { on: { right.press: rolling } }
                rolling: { rolling: true, angle: wide, on: { left.press: { angle: wheel }, right.press: standby } }
            """;

    @TempDir
    private Path work = Path.of("");

    private final List<Process> started = new ArrayList<>();

    @AfterEach
    void endAll() {
        started.forEach(Process::destroyForcibly);
    }

    private Process start(Class<?> main, String... arguments) throws IOException {
        List<String> command = new ArrayList<>(List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-XX:TieredStopAtLevel=1",
                "-XX:+UseSerialGC",
                "-cp",
                System.getProperty("java.class.path"),
                main.getName()));
        command.addAll(List.of(arguments));
        Process process = new ProcessBuilder(command)
                .redirectOutput(
                        ProcessBuilder.Redirect.appendTo(work.resolve("out").toFile()))
                .redirectError(
                        ProcessBuilder.Redirect.appendTo(work.resolve("err").toFile()))
                .start();
        started.add(process);
        return process;
    }

    private Process run() throws IOException {
        return start(
                Main.class,
                "run",
                work.resolve("lesson.yaml").toString(),
                "--journal",
                work.resolve("journal").toString());
    }

    private String log() throws IOException {
        Path log = work.resolve("journal/events.log");
        return Files.exists(log) ? Files.readString(log) : "";
    }

    private void says(String text, int times) {
        await().atMost(Duration.ofMinutes(1))
                .until(() -> log().split(java.util.regex.Pattern.quote(text), -1).length > times);
    }

    private void press(int port, String... lines) throws IOException {
        try (Socket foot = new Socket(InetAddress.getLoopbackAddress(), port)) {
            for (String line : lines) {
                foot.getOutputStream().write((line + "\n").getBytes(StandardCharsets.US_ASCII));
            }
            says("CUT     w", 1);
        }
    }

    private int configured() throws IOException {
        try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            int port = free.getLocalPort();
            Files.writeString(work.resolve("lesson.yaml"), CONFIGURATION.formatted(port));
            return port;
        }
    }

    @Test
    void goesOnWithTheTakeAfterItWasKilledAndReadsItsFileAgainWhenAsked() throws Exception {
        int port = configured();
        Process first = run();
        says("listens at", 1);
        press(port, "R 1", "R 0", "L 1", "L 0");
        says("CUT     wide -> wheel", 1);
        first.destroyForcibly();
        assertThat(first.waitFor(1, TimeUnit.MINUTES)).isTrue();
        Process second = run();
        says("TAKE    goes on", 1);
        says("CUT     wheel", 1);
        says("listens at", 2);
        assertThat(log()).contains("NOTE    take 1 was open when Instep, or its power, ended without a stop;");
        long pid = second.pid();
        assertThat(new ProcessBuilder("kill", "-HUP", Long.toString(pid))
                        .start()
                        .waitFor())
                .isZero();
        says("nothing to reload", 1);
        Files.writeString(
                work.resolve("lesson.yaml"),
                CONFIGURATION.formatted(port).replace("angle: wheel", "angle: hands") + "reload: at-once\n");
        says("CONFIG  reloaded", 1);
        assertThat(log()).contains("take 1      CONFIG  reloaded");
        second.destroy();
        assertThat(second.waitFor(1, TimeUnit.MINUTES)).isTrue();
        assertThat(second.exitValue()).isZero();
        assertThat(Files.readString(work.resolve("err"))).isEmpty();
    }

    /** A program that has run out of memory on its loop, in a task that nobody watches. */
    static final class OutOfMemory {
        private OutOfMemory() {}

        public static void main(String[] args) throws InterruptedException {
            Loop loop = Loop.open(1);
            loop.later(() -> {
                throw new OutOfMemoryError("Cannot reserve 4096 bytes of direct buffer memory");
            });
            System.exit(loop.eventLoop().awaitTermination(1, TimeUnit.MINUTES) ? 0 : 2);
        }
    }

    @Test
    void endsWhenMemoryHasRunOutOnTheLoop() throws Exception {
        Process process = start(OutOfMemory.class);
        assertThat(process.waitFor(50, TimeUnit.SECONDS)).isTrue();
        assertThat(process.exitValue()).isEqualTo(1);
        assertThat(Files.readString(work.resolve("err")))
                .contains("instep: a bug ends the program", "OutOfMemoryError");
    }
}
