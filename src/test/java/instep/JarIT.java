package instep;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The jar as a person runs it: what it says, where, and with which exit code. */
class JarIT {
    private static final String JAR = System.getProperty("instep.jar", "target/instep.jar");

    @TempDir
    private Path folder = Path.of("");

    private record Ran(int code, String out, String err) {}

    private Ran instep(String... arguments) throws IOException, InterruptedException {
        Process process = start(arguments);
        assertThat(process.waitFor(2, TimeUnit.MINUTES)).as("it ended").isTrue();
        return new Ran(
                process.exitValue(),
                Files.readString(folder.resolve("out"), UTF_8),
                Files.readString(folder.resolve("err"), UTF_8));
    }

    private Process start(String... arguments) throws IOException {
        List<String> command =
                new ArrayList<>(List.of(ProcessHandle.current().info().command().orElse("java"), "-jar", JAR));
        command.addAll(List.of(arguments));
        return new ProcessBuilder(command)
                .redirectOutput(folder.resolve("out").toFile())
                .redirectError(folder.resolve("err").toFile())
                .start();
    }

    private Path config(String text) throws IOException {
        return Files.writeString(folder.resolve("lesson.yaml"), text);
    }

    @Test
    void saysItsVersionAndNothingElse() throws Exception {
        Ran ran = instep("--version");
        assertThat(ran.code()).isZero();
        assertThat(ran.out()).startsWith("instep 0.");
        assertThat(ran.err()).isEmpty();
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "run",
                "check",
                "rehearse",
                "replay",
                "demo",
                "gear",
                "try",
                "identify",
                "tail",
                "journal",
                "cutlist",
                "report",
                "sync"
            })
    void helpsWithEveryCommandByAnExample(String command) throws Exception {
        Ran ran = instep(command, "--help");
        assertThat(ran.code()).isZero();
        assertThat(ran.out()).contains("Example:", "instep " + command, "Exit codes: 0 fine");
        assertThat(ran.err()).isEmpty();
    }

    @Test
    void playsTheDemoWithoutAWarning() throws Exception {
        Ran ran = instep(
                "demo",
                "--speed",
                "40",
                "--desk",
                "0",
                "--journal",
                folder.resolve("journal").toString());
        assertThat(ran.code()).isZero();
        assertThat(ran.err()).isEmpty();
        assertThat(ran.out()).contains("the desk page is at http://127.0.0.1:");
        assertThat(ran.out()).contains("Take 1", "wide -> wheel", "The journal is in " + folder.resolve("journal"));
    }

    @Test
    void showsWhatARemappedPedalChanges() throws Exception {
        Path mine = config(Files.readString(Path.of("config-examples/pottery.yaml"))
                .replace("left.press:   { angle: wheel", "left.press:   { angle: glaze"));
        Ran ran = instep("demo", "--speed", "40", "--config", mine.toString());
        assertThat(ran.code()).isZero();
        assertThat(ran.out()).contains("wide -> glaze").doesNotContain("wide -> wheel");
    }

    @Test
    void testsAMappingByAScenario() throws Exception {
        Path scenario = Path.of("config-examples/pottery.scenario");
        Ran ran = instep("rehearse", "config-examples/pottery.yaml", "--expect", scenario.toString());
        assertThat(ran.code()).isZero();
        assertThat(ran.err()).isEmpty();
        assertThat(ran.out().lines()).last().asString().matches("[1-9][0-9]* passed, 0 failed");

        Path other = Files.writeString(
                folder.resolve("other.scenario"),
                Files.readString(scenario).replace("7.500  cut wheel", "7.500  cut hands"));
        Ran failing = instep("rehearse", "config-examples/pottery.yaml", "--expect", other.toString());
        assertThat(failing.code()).isEqualTo(1);
        assertThat(failing.out()).contains("missing", "unexpected", "2 failed");

        Path bad = Files.writeString(folder.resolve("bad.scenario"), "1.0 left press\n");
        Ran refused = instep("rehearse", "config-examples/pottery.yaml", "--expect", bad.toString());
        assertThat(refused.code()).isEqualTo(2);
        assertThat(refused.err()).startsWith(bad + ":1: ").doesNotContain("\tat ");
    }

    @Test
    void replaysADemoAndCutsItAnew() throws Exception {
        String journal = folder.resolve("journal").toString();
        instep("demo", "--speed", "40", "--journal", journal);
        Ran again = instep("replay", journal, "-o", folder.resolve("again").toString());
        assertThat(again.code()).isZero();
        assertThat(again.err()).isEmpty();
        assertThat(again.out()).contains("decisions, all equal to those in the journal.", "Take 1", "wheel");

        Path mine = config(Files.readString(Path.of("config-examples/pottery.yaml"))
                .replace("left.press:   { angle: wheel", "left.press:   { angle: glaze"));
        Ran other = instep(
                "replay",
                journal,
                mine.toString(),
                "-o",
                folder.resolve("other").toString());
        assertThat(other.code()).isZero();
        assertThat(other.out()).contains("cut wheel", "cut glaze");

        Ran twice = instep("replay", journal, "-o", folder.resolve("again").toString());
        assertThat(twice.code()).isEqualTo(2);
        assertThat(twice.err()).contains("holds a journal already");
    }

    @Test
    void makesCutListsOfADemo() throws Exception {
        String journal = folder.resolve("journal").toString();
        instep("demo", "--speed", "40", "--journal", journal);
        Path edl = folder.resolve("lesson.edl");
        Ran ran = instep("cutlist", journal, "--minimum-shot", "500ms", "--write", edl.toString());
        assertThat(ran.code()).isZero();
        assertThat(ran.out()).contains("Take 1", "minimum-shot", "Written: " + edl);
        assertThat(ran.err()).contains("about the .edl file").doesNotContain("\tat ");
        assertThat(Files.readString(edl)).startsWith("TITLE: TAKE 1").contains("001  WIDE     V     C ");
    }

    @Test
    void namesEveryMistakeAtItsPlaceWithoutAStackTrace() throws Exception {
        Path bad = config(Files.readString(Path.of("config-examples/pottery.yaml"))
                .replace("angle: wheel,", "angle: whel,")
                .replace("left: KEY_A", "left: KEY_AA"));
        Ran ran = instep("check", bad.toString());
        assertThat(ran.code()).isEqualTo(2);
        assertThat(ran.out()).isEmpty();
        assertThat(ran.err())
                .contains("lesson.yaml:", "\"whel\"", "did you mean \"wheel\"", "KEY_AA", "^", "2 faults")
                .doesNotContain("\tat ", "Exception");
    }

    @Test
    void refusesAFileThatIsNotThere() throws Exception {
        Ran ran = instep("run", folder.resolve("nothing.yaml").toString());
        assertThat(ran.code()).isEqualTo(2);
        assertThat(ran.err()).contains("nothing.yaml").doesNotContain("\tat ");
    }

    @Test
    void saysWhichCommandsThereAreWhenNoneIsGiven() throws Exception {
        Ran ran = instep();
        assertThat(ran.code()).isEqualTo(2);
        assertThat(ran.err())
                .contains(
                        "run",
                        "check",
                        "rehearse",
                        "replay",
                        "demo",
                        "gear",
                        "try",
                        "identify",
                        "tail",
                        "journal",
                        "cutlist",
                        "report",
                        "sync");
    }

    @Test
    void refusesASpeedThatCannotBe() throws Exception {
        Ran ran = instep("demo", "--speed", "0");
        assertThat(ran.code()).isEqualTo(2);
        assertThat(ran.err()).contains("--speed").doesNotContain("\tat ");
    }

    @Test
    void refusesAJournalFolderThatCannotBe() throws Exception {
        Path file = Files.writeString(folder.resolve("a-file"), "not a folder");
        Ran ran = instep("demo", "--journal", file.resolve("below").toString());
        assertThat(ran.code()).isEqualTo(1);
        assertThat(ran.err()).contains(file.toString()).doesNotContain("\tat ");
    }

    @Test
    void waitsForAbsentDevicesAndGearAndEndsInGoodOrderWhenTold() throws Exception {
        Path lesson = config(Files.readString(Path.of("config-examples/pottery.yaml"))
                .replaceAll("192\\.0\\.2\\.1[0-9]", "127.0.0.1"));
        Path journal = folder.resolve("journal");
        Process process = start("run", lesson.toString(), "--journal", journal.toString());
        try {
            org.awaitility.Awaitility.await()
                    .atMost(java.time.Duration.ofMinutes(1))
                    .until(() -> Files.readString(folder.resolve("out")).contains("is ready"));
            process.destroy();
            assertThat(process.waitFor(1, TimeUnit.MINUTES)).as("it ended").isTrue();
        } finally {
            process.destroyForcibly();
        }
        assertThat(process.exitValue()).isZero();
        String said = Files.readString(folder.resolve("out"));
        assertThat(said).contains("waiting for usb 1209:2303", "mixer", "STOP");
        assertThat(Files.readString(folder.resolve("err"))).isEmpty();
        assertThat(Files.readString(journal.resolve("events.log"))).contains("STOP");
    }
}
