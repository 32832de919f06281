package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import instep.Main;
import instep.advice.CheckReport;
import instep.config.ConfigException;
import instep.config.ConfigReader;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class CheckCommandTest {
    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            gear: { mixer: { tcp: 192.0.2.10:9701 } }
            angles: { wide: { reel: WIDE, cut: { mixer: A } } }
            pedals:
              floor: { match: { usb: "1209:2303" }, contacts: { left: KEY_A, middle: KEY_B, right: { key: KEY_C, hold: 1s } } }
            machine:
              states:
                one:
                  angle: wide
                  on:
                    left.press: { mark: a }
                    left.release: { mark: b }
                    left+middle.press: { mark: c }
                    left+middle.hold: { mark: d }
                    left+middle+right.press: { mark: e }
                    right.tap: { mark: f }
                    right.double-tap: { mark: g }
                    right.triple-tap: { mark: h }
                    right.hold 2s: { mark: i }
                    middle.tap: { mark: j }
                    middle.latch-on: { mark: k, after: 3s }
            """;

    /** As the recognizer's own scenarios have it: see src/test/resources/scenarios. */
    @ParameterizedTest
    @CsvSource({
        "left.press, waits up to 60 ms for left+middle.press",
        "left.release, at once",
        "left+middle.press, waits up to 60 ms for left+middle+right.press",
        "left+middle.hold, when all are down for 500 ms",
        "left+middle+right.press, when all are down",
        "right.tap, waits 280 ms for a double-tap",
        "right.double-tap, waits 280 ms for a triple-tap",
        "right.triple-tap, at once",
        "right.hold 2s, when down for 2 s",
        "middle.tap, when let go within 500 ms",
        "middle.latch-on, 'after 3 s, mark k'"
    })
    void saysWhenEachGestureIsKnown(String gesture, String when) throws ConfigException {
        String report = CheckReport.of(ConfigReader.parse("mapping.yaml", MAPPING));
        assertThat(report.lines().filter(line -> line.startsWith("  " + gesture + " ")))
                .singleElement()
                .asString()
                .endsWith(when);
    }

    private static final Path EXAMPLE = Path.of("config-examples/pottery.yaml");

    @TempDir
    private Path folder;

    @Test
    void printsTheSchemaThatEditorsArePointedTo() throws IOException {
        assertThat(said("check", "--schema")).isEqualTo(Files.readString(Path.of("docs/instep.schema.json")));
    }

    @Test
    void saysWhatLaterFilesChangeAndWhatWasThereBefore() throws IOException {
        Path studio = folder.resolve("studio.yaml");
        Files.writeString(studio, """
                gear:
                  mixer: { tcp: 192.0.2.20:9701 }
                  recorder: { within: 2s }
                machine: { states: { rolling: { on: { left.press: } } } }
                """);
        assertThat(said("check", EXAMPLE.toString(), studio.toString()))
                .startsWith(EXAMPLE + " + " + studio + " is sound.")
                .contains(
                        "  gear > mixer > tcp: \"192.0.2.20:9701\" (" + studio
                                + ":2); in place of \"192.0.2.10:9701\" (" + EXAMPLE + ":13)",
                        "  gear > recorder > within: \"2s\" (" + studio + ":3); new",
                        "  machine > states > rolling > on > left.press is taken away (" + studio
                                + ":4); it was a map (" + EXAMPLE + ":63)");
    }

    @Test
    void namesTheValuesThatAMappingKeepsAndTheConditionsOfItsTransitions() throws IOException {
        Path values = folder.resolve("values.yaml");
        Files.writeString(values, """
                instep: 1
                timecode: { rate: 25 }
                data: { iris: { initial: 1, min: -5, max: 5 }, lesson: plates, careful: false }
                pedals: { floor: { match: { usb: "1209:2303" }, contacts: { left: KEY_A } } }
                machine:
                  states:
                    standby: { on: { left.press: { cond: { iris: { below: 3 }, any: [{ careful: true }, { in: standby }] }, set: { iris: +1 } } } }
                """);
        assertThat(said("check", values.toString()))
                .contains(
                        "  values    iris (begins as 1, at least -5, at most 5), lesson (begins as \"plates\"), careful (begins as false)",
                        "set iris if iris is below 3 and (careful is true or in standby)");
    }

    @Test
    void saysNothingOfOtherFilesWhereThereIsOne() {
        assertThat(said("check", EXAMPLE.toString())).doesNotContain("later ones");
    }

    private static String said(String... args) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        PrintStream before = System.out;
        System.setOut(new PrintStream(out, true, StandardCharsets.UTF_8));
        try {
            assertThat(Main.commandLine().execute(args)).isZero();
        } finally {
            System.setOut(before);
        }
        return out.toString(StandardCharsets.UTF_8);
    }
}
