package instep.config;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.catchThrowableOfType;

import instep.gear.GearSettings;
import instep.input.PedalSettings;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Files that lie over each other. */
class OverlayTest {
    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            gear:
              mixer: { tcp: 192.0.2.10:9701, line-end: lf }
              lamp: { osc: udp 192.0.2.12:9703 }
            angles:
              wide: { reel: WIDE, cut: { mixer: "CUT 1" } }
            pedals:
              floor: { match: { usb: "1209:2303" }, contacts: { left: KEY_A, right: { key: KEY_C } } }
            machine:
              states:
                standby: { on: { left.press: rolling, left.hold: { mark: long } } }
                rolling: { rolling: true, angle: wide, on: { left.press: standby } }
            """;

    @TempDir
    private Path folder;

    @Test
    void overridesSingleKeysAndLeavesTheirNeighbours() throws Exception {
        Settings settings = read(MAPPING, "gear: { mixer: { tcp: 192.0.2.20:9701 } }", "timing: { hold: 700ms }");
        assertThat(settings.gear())
                .containsExactly(
                        new GearSettings.Tcp(
                                "mixer", "192.0.2.20", 9701, GearSettings.LineEnd.LF, GearReader.STALE_AFTER),
                        new GearSettings.Osc("lamp", "192.0.2.12", 9703, GearReader.STALE_AFTER));
        assertThat(settings.contacts().get(0).timing().hold()).isEqualTo(700_000_000L);
        assertThat(settings.overridden())
                .extracting(o -> o.path() + " " + o.place().line() + " " + o.value() + " for " + o.before())
                .containsExactly(
                        "gear > mixer > tcp 1 \"192.0.2.20:9701\" for \"192.0.2.10:9701\"", "timing 1 a map for ");
    }

    @Test
    void letsTheLastFileWin() throws Exception {
        Settings settings = read(MAPPING, "gear: { mixer: { line-end: cr } }", "gear: { mixer: { line-end: none } }");
        assertThat(((GearSettings.Tcp) settings.gear().get(0)).framing()).isEqualTo(GearSettings.LineEnd.NONE);
        assertThat(settings.overridden()).extracting(Overridden::before).containsExactly("\"lf\"", "\"cr\"");
    }

    /**
     * The test cases of RFC 7396, appendix A, but for those whose documents are no maps and the last two, in which a key without a value stands
     * where nothing had been: it stays here, since a key without a value can also be an empty state.
     */
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "{a: b} | {a: c} | {a: c}",
                "{a: b} | {b: c} | {a: b, b: c}",
                "{a: b} | {a: null} | {}",
                "{a: b, b: c} | {a: null} | {b: c}",
                "{a: [b]} | {a: c} | {a: c}",
                "{a: c} | {a: [b]} | {a: [b]}",
                "{a: {b: c}} | {a: {b: d, c: null}} | {a: {b: d, c: null}}",
                "{a: {b: c, c: x}} | {a: {b: d, c: null}} | {a: {b: d}}",
                "{a: [{b: c}]} | {a: [1]} | {a: [1]}",
                "{e: null} | {a: 1} | {e: null, a: 1}",
                "{a: null} | {a: null} | {a: null}",
                "{a: null} | {a: 1} | {a: 1}"
            })
    void mergesAsMergePatchesOfJsonDo(String base, String over, String merged) {
        assertThat(shown(new Overlay().lay((Node.Mapping) tree(over), (Node.Mapping) tree(base))))
                .isEqualTo(merged);
    }

    @Test
    void takesAwayWhatIsOverriddenByNothing() throws Exception {
        Settings settings = read(MAPPING, "gear: { lamp: }\nmachine: { states: { standby: { on: { left.hold: } } } }");
        assertThat(settings.gear()).hasSize(1);
        assertThat(settings.chart().transitionCount()).isEqualTo(2);
        assertThat(settings.overridden())
                .extracting(o -> o.path() + ":" + o.value() + "<" + o.before())
                .containsExactly("gear > lamp:<a map", "machine > states > standby > on > left.hold:<a map");
    }

    @Test
    void replacesListsAndTransitionsThatAreNoMapsAsAWhole() throws Exception {
        Settings settings = read(
                MAPPING, "machine: { states: { standby: { on: { left.press: { target: rolling, after: 2s } } } } }");
        assertThat(settings.chart().transition(0).afterNanos()).isEqualTo(2_000_000_000L);
        assertThat(settings.overridden()).extracting(Overridden::before).containsExactly("\"rolling\"");
    }

    @Test
    void letsAFileBelowLackWhatOneAboveGives() throws Exception {
        Settings settings = read(MAPPING.replace("192.0.2.10:9701", ""), "gear: { mixer: { tcp: 192.0.2.20:9701 } }");
        assertThat(settings.gear().get(0).address()).contains("192.0.2.20");
    }

    @Test
    void namesTheFileOfEachFault() throws Exception {
        ConfigException refusal = refused(
                MAPPING.replace("rate: 25", "rate: 26").replace("angle: wide", "angle: wid"),
                "gear:\n  mixer: { tpc: 192.0.2.20:9701 }\n",
                """
                timecode: { source: tima-of-day }
                timing: { hold: 1 }
                pedals: { floor: { match: { usb: 1 } } }
                machine: { states: { rolling: { states: { standby: { angle: wid } } } } }
                """);
        assertThat(refusal.faults())
                .extracting(
                        f -> f.place().toString().substring(folder.toString().length() + 1) + " " + f.text())
                .satisfiesExactly(
                        f -> assertThat(f).startsWith("0.yaml:2:19 expected 23.976"),
                        f -> assertThat(f).startsWith("1.yaml:2:12 unknown key \"tpc\" in gear \"mixer\""),
                        f -> assertThat(f).startsWith("2.yaml:1:21 expected time-of-day, count-up, ltc, mtc or gear"),
                        f -> assertThat(f).startsWith("2.yaml:2:17 expected a time"),
                        f -> assertThat(f).startsWith("2.yaml:3:34 expected vendor and product"),
                        f -> assertThat(f)
                                .startsWith(
                                        "2.yaml:4:43 the state \"standby\" is already given on line 12, column 5 of "
                                                + folder + "/0.yaml; expected"),
                        f -> assertThat(f)
                                .isEqualTo("2.yaml:4:61 unknown angle \"wid\" (also on line 13 of " + folder
                                        + "/0.yaml); did you mean \"wide\"?"));
        assertThat(refusal.faults().get(2).excerpt())
                .isEqualTo("  timecode: { source: tima-of-day }\n                      ^");
    }

    @Test
    void namesTheFaultsOfEveryFileThatIsNoYaml() {
        ConfigException refusal = refused("a: b: c", "- list", "d: [", "");
        assertThat(refusal.faults())
                .extracting(f -> f.place().file().substring(folder.toString().length() + 1))
                .containsExactly("0.yaml", "2.yaml", "3.yaml");
        assertThat(refused(MAPPING, "- list").faults())
                .extracting(ConfigException.Fault::text)
                .containsExactly("expected a map with the keys that this file overrides, found a list");
    }

    @Test
    void namesEveryFileThatCannotBeRead() {
        ConfigException refusal = catchThrowableOfType(
                ConfigException.class,
                () -> ConfigReader.read(List.of(Path.of("no-a"), Path.of("no-b")), TestKeys.CODES));
        assertThat(refusal.faults()).hasSize(2);
    }

    @Test
    void refusesAFileOfAnotherVersionAlsoBelowOneOfThis() {
        assertThat(refused(MAPPING.replace("instep: 1", "instep: 2"), "instep: 1")
                        .faults())
                .extracting(f -> f.place().line() + " " + f.text())
                .containsExactly("1 expected 1, the version of the language that this program reads, found \"2\"");
        assertThat(refused(MAPPING, "instep: 2").faults())
                .extracting(f -> f.place().file())
                .containsExactly(folder + "/1.yaml");
    }

    @Test
    void startsRelativePathsFromTheFolderOfTheFileThatTheyStandIn() throws Exception {
        Path base = write("maps/a.yaml", MAPPING + "journal: { folder: takes }\n");
        Path over = write(
                "studio/b.yaml", "pedals: { floor: , played: { performance: lesson.performance, contacts: [left] } }");
        Settings settings = ConfigReader.read(List.of(base, over), TestKeys.CODES);
        assertThat(settings.journal().folder()).isEqualTo(folder.resolve("maps/takes"));
        assertThat(((PedalSettings.Performed) settings.pedals().get(0)).file())
                .isEqualTo(folder.resolve("studio/lesson.performance"));
    }

    @Test
    void readsTheTextOfSeveralFilesAgain() throws Exception {
        Settings settings = read(
                MAPPING.stripTrailing(),
                "gear: { mixer: { tcp: 192.0.2.20:9701 } }",
                "machine: { states: { rolling: { onentry: { send: { mixer: ROLL } } } } }\n");
        assertThat(settings.text()).startsWith("--- # file: " + folder + "/0.yaml\ninstep: 1\n");
        Settings again = ConfigReader.parse(settings.file(), settings.text(), TestKeys.CODES);
        assertThat(again.text()).isEqualTo(settings.text());
        assertThat(again.file()).isEqualTo(settings.file()).endsWith("/1.yaml + " + folder + "/2.yaml");
        assertThat(again.gear()).isEqualTo(settings.gear());
        assertThat(again.overridden()).isEqualTo(settings.overridden());
        assertThat(again.messages()).isEqualTo(settings.messages());
        assertThat(again.messages()).extracting(m -> m.name()).containsExactly(folder + "/2.yaml line 1");
    }

    private Settings read(String... texts) throws IOException, ConfigException {
        return ConfigReader.read(files(texts), TestKeys.CODES);
    }

    private ConfigException refused(String... texts) {
        return catchThrowableOfType(ConfigException.class, () -> read(texts));
    }

    private List<Path> files(String... texts) throws IOException {
        List<Path> files = new ArrayList<>();
        for (int i = 0; i < texts.length; i++) {
            files.add(write(i + ".yaml", texts[i]));
        }
        return files;
    }

    private Path write(String name, String text) throws IOException {
        Path file = folder.resolve(name);
        Files.createDirectories(file.getParent());
        return Files.writeString(file, text);
    }

    private static Node tree(String text) {
        SourceText source = new SourceText("f", text);
        return YamlTree.read(source, new YamlLimits(), new Faults(source), "a configuration")
                .orElseThrow();
    }

    private static String shown(Node node) {
        if (node instanceof Node.Mapping map) {
            return map.entries().stream()
                    .map(e -> e.name() + ": " + shown(e.value()))
                    .collect(java.util.stream.Collectors.joining(", ", "{", "}"));
        } else if (node instanceof Node.Sequence list) {
            return list.items().stream().map(OverlayTest::shown).toList().toString();
        }
        return ((Node.Scalar) node).text();
    }
}
