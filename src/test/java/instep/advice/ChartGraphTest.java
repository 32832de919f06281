package instep.advice;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.machine.Chart;
import instep.machine.StateNode;
import instep.machine.TransitionNode;
import instep.reference.Installed;
import java.io.ByteArrayInputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.w3c.dom.NodeList;

/** The picture of the machine, drawn by Debian's Graphviz (package graphviz); without it there is nothing to test. */
class ChartGraphTest {
    private static final String MACHINE = """
            instep: 1
            timecode: { rate: 25 }
            angles: { wide: { reel: WIDE }, wheel: { reel: WHEEL } }
            pedals: { floor: { match: { usb: "1209:2303" }, contacts: { left: KEY_A, right: KEY_B } } }
            machine:
              states:
                standby: { on: { right.hold: rolling } }
                rolling:
                  rolling: true
                  angle: wide
                  on:
                    right.hold: standby
                    right.double-tap: { target: rolling, mark: again }
                    left.hold: { target: glazing, until: [left.hold-end, 8s] }
                  states:
                    talking: { on: { left.tap: { cond: { not: { take: { above: 3 } } }, target: working, mark: step } } }
                    working: { eventless: { after: 2s, target: talking } }
                    back: { history: deep, target: talking }
                glazing: { on: { right.tap: { target: back, angle: wheel } } }
                both: { parallel: true, states: { a: , b: { onentry: { raise: said } } } }
                over: { final: true }
            """;

    @TempDir
    private Path folder;

    static List<Path> examples() throws Exception {
        try (Stream<Path> files = Files.list(Path.of("config-examples"))) {
            return files.filter(file -> file.toString().endsWith(".yaml"))
                    .sorted()
                    .toList();
        }
    }

    @ParameterizedTest
    @MethodSource("examples")
    void showsStatesTransitionsAndDetoursOfEveryExample(Path example) throws Exception {
        Settings settings = ConfigReader.read(example);
        Chart chart = settings.chart();
        EventWords words = new EventWords(settings.contacts());
        String shown = drawn(settings);
        for (int s = 1; s < chart.stateCount(); s++) {
            StateNode state = chart.state(s);
            assertThat(shown).contains(state.name());
            for (TransitionNode transition : state.transitions()) {
                assertThat(transition.events())
                        .allSatisfy(event -> assertThat(shown).contains(words.shortName(event)));
                if (transition.isDetour()) {
                    assertThat(shown).contains(words.untils(transition));
                }
            }
        }
        long arrows = IntStream.range(0, chart.transitionCount())
                .mapToLong(t -> chart.transition(t).targets().size())
                .sum();
        long begins = IntStream.range(0, chart.stateCount())
                .mapToObj(chart::state)
                .filter(state -> !state.children().isEmpty() && state.kind() != StateNode.Kind.PARALLEL)
                .count();
        assertThat(svg(settings).getElementsByTagName("g"))
                .satisfies(groups -> assertThat(count(groups, "edge")).isEqualTo(arrows + begins));
    }

    @Test
    void showsWhatIsOtherwiseHardToSee() throws Exception {
        assertThat(drawn(ConfigReader.parse("f", MACHINE)))
                .contains(
                        "rolling (take open)",
                        "right.double-tap: to rolling, mark again",
                        "left.tap if not (take is above 3)",
                        "mark step",
                        "after 2 s",
                        "back (deep history)",
                        "at first",
                        "cut to wheel",
                        "back at left.hold-end or 8 s later",
                        "both (all at once)",
                        "on entry: raise said");
    }

    /** All text in the picture, a line for each. */
    private String drawn(Settings settings) throws Exception {
        NodeList texts = svg(settings).getElementsByTagName("text");
        List<String> lines = new ArrayList<>();
        for (int i = 0; i < texts.getLength(); i++) {
            lines.add(texts.item(i).getTextContent().replace('\u00a0', ' ').trim());
        }
        return String.join("\n", lines);
    }

    private org.w3c.dom.Document svg(Settings settings) throws Exception {
        Installed.program("dot", "graphviz");
        Path dot = folder.resolve("machine.dot");
        Path complaints = folder.resolve("complaints");
        Files.writeString(dot, ChartGraph.of(settings.chart(), new EventWords(settings.contacts())));
        Process drawing = new ProcessBuilder("dot", "-Tsvg", dot.toString())
                .redirectError(complaints.toFile())
                .start();
        byte[] svg = drawing.getInputStream().readAllBytes();
        assertThat(drawing.waitFor(1, TimeUnit.MINUTES)).isTrue();
        assertThat(Files.readString(complaints)).isEmpty();
        assertThat(drawing.exitValue()).isZero();
        DocumentBuilderFactory factory = DocumentBuilderFactory.newInstance();
        factory.setFeature("http://apache.org/xml/features/nonvalidating/load-external-dtd", false);
        return factory.newDocumentBuilder().parse(new ByteArrayInputStream(svg));
    }

    private static long count(NodeList groups, String kind) {
        return IntStream.range(0, groups.getLength())
                .filter(i -> groups.item(i).getAttributes().getNamedItem("class") != null
                        && groups.item(i)
                                .getAttributes()
                                .getNamedItem("class")
                                .getNodeValue()
                                .equals(kind))
                .count();
    }
}
