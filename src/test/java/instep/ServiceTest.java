package instep;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.daemon.Loop;
import instep.host.ServiceManager;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

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
        return start(List.of(), List.of("-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC"), Map.of(), main, arguments);
    }

    private Process start(
            List<String> by, List<String> flags, Map<String, String> environment, Class<?> main, String... arguments)
            throws IOException {
        List<String> command = new ArrayList<>(by);
        command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
        command.addAll(flags);
        command.addAll(List.of("-cp", System.getProperty("java.class.path"), main.getName()));
        command.addAll(List.of(arguments));
        ProcessBuilder builder = new ProcessBuilder(command);
        builder.environment().putAll(environment);
        Process process = builder.redirectOutput(
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
        hangUp(second);
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

    /** A program that fills its memory on a thread which takes every fault for its own affair. */
    static final class Greedy {
        private Greedy() {}

        public static void main(String[] args) throws InterruptedException {
            Thread greedy = new Thread(() -> {
                try {
                    List<long[]> kept = new ArrayList<>();
                    while (kept.size() < 1_000) {
                        kept.add(new long[131_072]);
                    }
                } catch (OutOfMemoryError e) {
                    System.out.println("it goes on without");
                }
            });
            greedy.start();
            greedy.join();
        }
    }

    /**
     * With the flags of the launcher, as it starts the service. HotSpot ends with 3 where {@code -XX:+ExitOnOutOfMemoryError} is set (the JDK's debug.cpp, from memory), which the unit takes
     * for a failure.
     */
    @Test
    void endsWhereverItsMemoryRunsOutAndIsStartedAgain() throws Exception {
        Process said = new ProcessBuilder("sh", "src/test/rig/flags.sh").start();
        List<String> flags = List.of(new String(said.getInputStream().readAllBytes(), StandardCharsets.UTF_8)
                .strip()
                .split(" "));
        Process process = start(List.of(), flags, Map.of(), Greedy.class);
        assertThat(process.waitFor(1, TimeUnit.MINUTES)).isTrue();
        assertThat(process.exitValue()).isEqualTo(3);
        String unit = Files.readString(Path.of("systemd/instep.service"));
        assertThat(unit).contains("\nRestart=always\n", "\nRestartPreventExitStatus=2\n", "\nSuccessExitStatus=143\n");
    }

    /** From the moment at which it says that it is ready, and before: a signal that nobody hears would end it. */
    @Test
    void aReloadThatIsAskedForWhileItStartsIsDoneAndTheServiceManagerHearsOfEach() throws Exception {
        configured();
        try (ServiceManager manager = ServiceManager.in(work)) {
            Process process = start(
                    List.of(),
                    List.of("-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC"),
                    manager.environment(),
                    Main.class,
                    "run",
                    work.resolve("lesson.yaml").toString(),
                    "--journal",
                    work.resolve("journal").toString());
            says("START", 1);
            hangUp(process);
            says("nothing to reload", 1);
            manager.awaitLine("READY=1");
            heardOf(manager, "RELOADING=1", 1);
            heardOf(manager, "READY=1", 2);
            Files.writeString(work.resolve("lesson.yaml"), "instep: 2\n");
            hangUp(process);
            says("the changed configuration was not taken up", 1);
            heardOf(manager, "READY=1", 3);
            await().atMost(Duration.ofMinutes(1))
                    .until(() -> manager.heard().stream()
                            .anyMatch(line -> line.startsWith(
                                    "STATUS=nothing on air yet, no take open, no gear; 1 fault: the changed configuration was not taken up:"
                                            + " the one before it stays in force. ")));
            assertThat(manager.heard().stream()
                            .filter(line -> line.startsWith("RELOADING=") || line.startsWith("READY=")))
                    .containsExactly("READY=1", "RELOADING=1", "READY=1", "RELOADING=1", "READY=1");
            // systemd.service(5), Type=notify-reload: with the time at which it began.
            assertThat(manager.heard().get(manager.heard().lastIndexOf("RELOADING=1") + 1))
                    .matches("MONOTONIC_USEC=[0-9]+");
        }
    }

    private Process serve(ServiceManager manager, String file) throws IOException {
        return start(
                List.of(),
                List.of("-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC"),
                manager.environment(),
                Main.class,
                "run",
                work.resolve(file).toString(),
                "--journal",
                work.resolve("journal").toString());
    }

    private void endsWithTwo(Process process) throws Exception {
        assertThat(process.waitFor(1, TimeUnit.MINUTES)).isTrue();
        assertThat(process.exitValue()).isEqualTo(2);
        assertThat(Files.readString(work.resolve("err"))).contains("1 fault; nothing was started.");
    }

    /** A typo is saved in a take and refused; then the process is killed, and started again by the service manager. */
    /** The power does not bring into a take what waited for its end; somebody who starts it again does. */
    @Test
    void goesOnWithATakeByTheMappingThatWasInForceWhenItBrokeOffThoughTheFileHasChangedSince() throws Exception {
        int port = configured();
        try (ServiceManager manager = ServiceManager.in(work)) {
            Process first = serve(manager, "lesson.yaml");
            says("listens at", 1);
            press(port, "R 1", "R 0");
            says("TAKE    begins", 1);
            await().atMost(Duration.ofMinutes(1)).until(() -> Files.exists(work.resolve("journal/in-force.yaml")));
            Files.writeString(
                    work.resolve("lesson.yaml"), CONFIGURATION.formatted(port).replace("angle: wheel", "angle: hands"));
            says("it comes into force when take 1 is over", 1);
            first.destroyForcibly();
            assertThat(first.waitFor(1, TimeUnit.MINUTES)).isTrue();
            Process second = serve(manager, "lesson.yaml");
            says("TAKE    goes on", 1);
            says("it comes into force when take 1 is over", 2);
            press(port, "L 1", "L 0");
            says("CUT     wide -> wheel", 1);
            press(port, "R 1", "R 0");
            says("CONFIG  reloaded", 1);
            second.destroy();
            assertThat(second.waitFor(1, TimeUnit.MINUTES)).isTrue();
        }
    }

    @Test
    void goesOnWithATakeByTheMappingThatWasInForceLastWhenTheFileIsFaultyAtTheStart() throws Exception {
        int port = configured();
        Path file = work.resolve("lesson.yaml");
        try (ServiceManager manager = ServiceManager.in(work)) {
            Process first = serve(manager, "lesson.yaml");
            says("listens at", 1);
            press(port, "R 1", "R 0", "L 1", "L 0");
            says("CUT     wide -> wheel", 1);
            await().atMost(Duration.ofMinutes(1)).until(() -> Files.exists(work.resolve("journal/in-force.yaml")));
            Files.writeString(file, CONFIGURATION.formatted(port).replace("angle: wheel", "angle: whel"));
            says("the changed configuration was not taken up", 1);
            first.destroyForcibly();
            assertThat(first.waitFor(1, TimeUnit.MINUTES)).isTrue();
            Process second = serve(manager, "lesson.yaml");
            says("TAKE    goes on", 1);
            says("FAULT   the configuration was faulty at the start;", 1);
            says("listens at", 2);
            says("lesson.yaml:13:71: unknown angle", 2);
            Files.writeString(file, CONFIGURATION.formatted(port));
            says("nothing to reload", 1);
            Files.writeString(file, CONFIGURATION.formatted(port).replace("angle: wheel", "angle: hands"));
            says("lesson.yaml has changed", 1);
            press(port, "R 1", "R 0");
            says("CONFIG  reloaded", 1);
            second.destroy();
            assertThat(second.waitFor(1, TimeUnit.MINUTES)).isTrue();
            assertThat(second.exitValue()).isZero();
        }
    }

    @Test
    void aFaultyMappingEndsTheFirstStartAndOneByHand() throws Exception {
        configured();
        Path file = work.resolve("lesson.yaml");
        String sound = Files.readString(file);
        String faulty = sound.replace("angle: wheel", "angle: whel");
        try (ServiceManager manager = ServiceManager.in(work)) {
            Files.writeString(file, faulty);
            endsWithTwo(serve(manager, "lesson.yaml"));
            assertThat(manager.heard()).anyMatch(line -> line.startsWith("STATUS=not started: " + file + ":13:71:"));
            Files.writeString(file, sound);
            Process good = serve(manager, "lesson.yaml");
            await().atMost(Duration.ofMinutes(1)).until(() -> Files.exists(work.resolve("journal/in-force.yaml")));
            good.destroy();
            assertThat(good.waitFor(1, TimeUnit.MINUTES)).isTrue();
            Files.writeString(file, faulty);
            endsWithTwo(run());
            // Of another file nothing is known.
            Files.move(file, work.resolve("other.yaml"));
            endsWithTwo(serve(manager, "other.yaml"));
        }
    }

    /** Its user may enter the folder, and not read it; then not even enter; then all is mended, without anything in it being touched. */
    @Tag("lab")
    @Test
    void seesChangesInAFolderThatMayNotBeRead() throws Exception {
        Path etc = Files.createDirectory(work.resolve("etc"));
        int port = configured();
        Path file = Files.move(work.resolve("lesson.yaml"), etc.resolve("lesson.yaml"));
        String sound = Files.readString(file);
        try {
            Files.setPosixFilePermissions(etc, PosixFilePermissions.fromString("--x--x--x"));
            start(
                    plain(),
                    List.of("-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC"),
                    Map.of(),
                    Main.class,
                    "run",
                    file.toString(),
                    "--journal",
                    work.resolve("journal").toString());
            says("listens at 127.0.0.1:" + port, 1);
            says("FAULT   changes of", 1);
            Files.writeString(file, sound.replace("angle: wheel", "angle: hands"));
            says("CONFIG  reloaded", 1);
            Files.setPosixFilePermissions(etc, Set.of());
            Files.setPosixFilePermissions(etc, PosixFilePermissions.fromString("rwxr-xr-x"));
            Files.writeString(file, sound);
            says("CONFIG  reloaded", 2);
            Files.setPosixFilePermissions(etc, Set.of());
            says("FAULT   the changed configuration was not taken up", 1);
            Files.setPosixFilePermissions(etc, PosixFilePermissions.fromString("rwxr-xr-x"));
            says("nothing to reload", 1);
        } finally {
            Files.setPosixFilePermissions(etc, PosixFilePermissions.fromString("rwx------"));
        }
    }

    /** Root may read everything, unless it has given that right away: capabilities(7), setpriv(1). */
    private static List<String> plain() {
        return System.getProperty("user.name").equals("root")
                ? List.of("setpriv", "--bounding-set=-dac_override,-dac_read_search", "--")
                : List.of();
    }

    private static void hangUp(Process process) throws Exception {
        Process kill = new ProcessBuilder("kill", "-HUP", Long.toString(process.pid())).start();
        assertThat(kill.waitFor()).isZero();
    }

    private static void heardOf(ServiceManager manager, String line, int times) {
        await().atMost(Duration.ofMinutes(1)).until(() -> Collections.frequency(manager.heard(), line) >= times);
    }

    @ParameterizedTest
    @CsvSource({
        "shut/lesson.yaml, this user may not look into %s/shut; expected permission to read that folder",
        "open/shut.yaml, this user may not read the file; expected read permission",
        "open/lesson.yaml/lesson.yaml, %s/open/lesson.yaml is a file; expected a folder there"
    })
    void saysWhatItMayNotRead(String file, String words) throws Exception {
        Path shut = Files.createDirectory(work.resolve("shut"));
        Files.writeString(shut.resolve("lesson.yaml"), "instep: 1\n");
        Path open = Files.createDirectory(work.resolve("open"));
        Files.writeString(open.resolve("lesson.yaml"), "instep: 1\n");
        Files.writeString(open.resolve("shut.yaml"), "instep: 1\n");
        Files.setPosixFilePermissions(shut, Set.of());
        Files.setPosixFilePermissions(open.resolve("shut.yaml"), Set.of());
        try {
            Process process = start(
                    plain(),
                    List.of("-XX:TieredStopAtLevel=1"),
                    Map.of(),
                    Main.class,
                    "run",
                    work.resolve(file).toString());
            assertThat(process.waitFor(1, TimeUnit.MINUTES)).isTrue();
            assertThat(process.exitValue()).isEqualTo(2);
            assertThat(Files.readString(work.resolve("err")))
                    .startsWith(work.resolve(file) + ": " + words.formatted(work))
                    .contains("1 fault; nothing was started.");
        } finally {
            Files.setPosixFilePermissions(shut, PosixFilePermissions.fromString("rwx------"));
        }
    }
}
