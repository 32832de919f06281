package instep;

import static java.util.stream.Collectors.joining;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.stream.IntStream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Configurations of a size and shape that nobody writes, before the service with the little memory that its package gives it. */
@Tag("lab")
class OversizeTest {
    private static final String SOUND = """
            instep: 1
            timecode: { rate: 25 }
            machine:
              states:
                standby:
            """;

    @TempDir
    private Path work = Path.of("");

    private final List<Process> started = new ArrayList<>();

    @AfterEach
    void endAll() {
        started.forEach(Process::destroyForcibly);
    }

    /** Each with words of the fault for which it is refused. */
    private static Map<String, String> shapes() {
        Map<String, String> shapes = new LinkedHashMap<>();
        shapes.put(
                SOUND + "x: [" + "a,".repeat(200_000) + "]\n",
                ": the file is larger than 256 KiB; expected a configuration");
        shapes.put(
                SOUND + "x: [" + "a,".repeat(120_000) + "]\n",
                ":6:39975: there are more than 20,000 values; expected less");
        shapes.put(SOUND + "x: {" + many("k%d: ", 30_000, ",") + "}\n", "there are more than 20,000 values");
        shapes.put(SOUND + "x: [" + many("&a%d b", 25_000, ",") + "]\n", "there are more than 20,000 values");
        shapes.put(SOUND + "x: " + "[".repeat(250_000), "lists and maps are nested deeper than 100");
        shapes.put(SOUND + "x: " + "a".repeat(250_000) + "\n", "unknown key \"x\"");
        shapes.put("{instep: 1, " + many("k%d: a", 9_500, ",") + "}\n", "unknown key \"k0\"");
        shapes.put(SOUND + "x: [" + many("!!t a", 9_500, ",") + "]\n", "unknown tag");
        shapes.put(SOUND + many("    s%d:\n", 9_000, ""), "9,002 states with 9,005 events are too much");
        shapes.put(SOUND + answer("(".repeat(120_000) + ")".repeat(120_000)), "expected a regular expression");
        shapes.put(SOUND + answer("[a-z]{1000}".repeat(20_000)) + "y:\n", "unknown key \"y\"");
        return shapes;
    }

    private static String many(String form, int count, String between) {
        return IntStream.range(0, count)
                .mapToObj(i -> form.replace("%d", Integer.toString(i)))
                .collect(joining(between));
    }

    private static String answer(String pattern) {
        return "gear: { mixer: { tcp: \"127.0.0.1:9\" } }\nmessages: { arm: { mixer: { text: ARM, expect: \"" + pattern
                + "\" } } }\n";
    }

    private Process run(Path config) throws IOException {
        Process said = new ProcessBuilder("sh", "src/test/rig/flags.sh").start();
        List<String> command = new ArrayList<>();
        command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
        command.addAll(List.of(new String(said.getInputStream().readAllBytes(), StandardCharsets.UTF_8)
                .strip()
                .split(" ")));
        command.addAll(List.of("-cp", System.getProperty("java.class.path"), Main.class.getName(), "run"));
        command.addAll(
                List.of(config.toString(), "--journal", work.resolve("journal").toString()));
        File err = work.resolve("err").toFile();
        Process process = new ProcessBuilder(command)
                .redirectOutput(work.resolve("out").toFile())
                .redirectError(err)
                .start();
        started.add(process);
        return process;
    }

    private long refusals() throws IOException {
        Path log = work.resolve("journal/events.log");
        return Files.exists(log)
                ? Files.readAllLines(log).stream()
                        .filter(line -> line.contains("was not taken up"))
                        .count()
                : 0;
    }

    /** What the event log holds, its folded lines made one. */
    private String log() throws IOException {
        return Files.readString(work.resolve("journal/events.log"))
                .replaceAll("\\n\\S+ +(take )?\\S* *(!!)? FAULT {3}", " ");
    }

    @Test
    void refusesThemWhileItRunsAndGoesOn() throws Exception {
        Path config = Files.writeString(work.resolve("lesson.yaml"), SOUND);
        Process desk = run(config);
        await().atMost(Duration.ofMinutes(1))
                .until(() -> Files.readString(work.resolve("out")).contains("is ready"));
        for (Map.Entry<String, String> shape : shapes().entrySet()) {
            long before = refusals();
            Path next = Files.writeString(work.resolve("next.yaml"), shape.getKey());
            Files.move(next, config, StandardCopyOption.ATOMIC_MOVE);
            await().atMost(Duration.ofMinutes(1)).until(() -> !desk.isAlive() || refusals() > before);
            assertThat(desk.isAlive()).as(shape.getValue()).isTrue();
            assertThat(log()).contains(shape.getValue());
        }
        Files.writeString(config, SOUND.replace("standby", "waiting"));
        await().atMost(Duration.ofMinutes(1)).until(() -> log().contains("CONFIG  reloaded"));
        desk.destroy();
        assertThat(desk.waitFor(1, TimeUnit.MINUTES)).isTrue();
        assertThat(desk.exitValue()).isZero();
    }

    /** With 2, after which the unit does not start it again (systemd/instep.service). */
    @Test
    void refusesThemAtItsStart() throws Exception {
        for (Map.Entry<String, String> shape : shapes().entrySet()) {
            Process desk = run(Files.writeString(work.resolve("lesson.yaml"), shape.getKey()));
            assertThat(desk.waitFor(1, TimeUnit.MINUTES)).isTrue();
            assertThat(desk.exitValue()).as(shape.getValue()).isEqualTo(2);
            assertThat(Files.readString(work.resolve("err"))).contains(shape.getValue());
        }
    }
}
