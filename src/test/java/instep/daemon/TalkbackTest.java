package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.rehearsal.Line;
import instep.rehearsal.Scenario;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** What follows from what gear says, in the words of a scenario. */
class TalkbackTest {
    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            gear:
              mixer:
                tcp: 192.0.2.10:9701
                replies:
                  - { line: "^ONAIR (?<angle>[0-9]+)$", on-air: { "1": wide, "2": wheel, "3": hands, "4": glaze } }
                  - { line: "^PANEL (?<button>[a-z]+)$", event: mixer.panel, set: { button: "{button}" } }
                  - { line: "^IRIS (?<step>.*)$", set: { iris: "{step}" } }
                  - { line: "^(x+?)+?$", event: mixer.odd }
              recorder:
                http: http://192.0.2.11:9702
                roll-within: 3s
                replies:
                  - { pointer: /mode, equals: record, rolling: true }
                  - { pointer: /mode, equals: stop, rolling: false, event: recorder.idle }
              lamp: { osc: udp 192.0.2.12:9703 }
            angles:
              wide:  { reel: WIDE,  cut: { mixer: "CUT 1" } }
              wheel: { reel: WHEEL, cut: { mixer: "CUT 2" } }
              hands: { reel: HANDS, cut: { mixer: "CUT 3" } }
              glaze: { reel: GLAZE, cut: { mixer: "CUT 4", lamp: { osc: /glaze } } }
            messages:
              alarm: { lamp: { osc: /alarm } }
            pedals:
              floor: { match: { usb: "1209:2303" }, contacts: { left: KEY_A, right: KEY_C } }
            machine:
              initial: standby
              states:
                standby:
                  onentry: { set: { iris: 4 } }
                  on: { right.press: rolling }
                rolling:
                  rolling: true
                  angle: wide
                  on:
                    left.press: { angle: wheel, until: left.release }
                    right.press: standby
                    mixer.panel: { cond: { button: red }, mark: panel, text: "{button} {iris}" }
                    recorder.silent: { mark: silent }
                    recorder.stopped: { mark: stopped, send: alarm }
                    recorder.idle: { mark: idle }
            """;

    private static Settings settings;

    @BeforeAll
    static void read() throws Exception {
        settings = ConfigReader.parse("lesson.yaml", MAPPING);
    }

    private static List<String> played(String scenario) throws Exception {
        List<String> lines = new ArrayList<>();
        Scenario.parse("a.scenario", scenario)
                .play(settings, line -> lines.add(Line.time(line.nanos()) + " " + line.told()));
        return lines;
    }

    /** Only those of some words. */
    private static List<String> of(String scenario, String words) throws Exception {
        return played(scenario).stream()
                .filter(line -> line.split(" ")[1].matches(words))
                .toList();
    }

    private static final String TAKE = "1 right close\n1.1 right open\n1.2 mixer says ONAIR 1\n";

    @Test
    void confirmsEachCutWhenTheMixerSaysSo() throws Exception {
        assertThat(of(
                        TAKE + "2 left close\n2.03 mixer says ONAIR 2\n3 left open\n3.04 mixer says ONAIR 1\n",
                        "cut|confirmed"))
                .containsExactly(
                        "1.000 cut wide",
                        "1.200 confirmed wide",
                        "2.000 cut wheel",
                        "2.030 confirmed wheel",
                        "3.000 cut wide",
                        "3.040 confirmed wide");
    }

    @Test
    void followsTheOneWhoOperatesTheMixerWithoutSayingAnythingBackToIt() throws Exception {
        List<String> lines = of(TAKE + "5 mixer says ONAIR 4\n6 left close\n7 left open\n", "cut|confirmed|say");
        assertThat(lines.subList(3, lines.size()))
                .containsExactly(
                        "5.000 cut glaze",
                        "5.000 say lamp /glaze",
                        "6.000 cut wheel",
                        "6.000 say mixer CUT 2",
                        "7.000 cut glaze",
                        "7.000 say mixer CUT 4",
                        "7.000 say lamp /glaze");
    }

    @Test
    void doesNotCutBackWhenAPedalIsReleasedThatWasDownBefore() throws Exception {
        assertThat(of(TAKE + "2 left close\n2.01 mixer says ONAIR 2\n5 mixer says ONAIR 3\n6 left open\n", "cut"))
                .containsExactly("1.000 cut wide", "2.000 cut wheel", "5.000 cut hands");
    }

    @Test
    void takesNoWordAboutAnEarlierCutForSomebodyElses() throws Exception {
        assertThat(of(
                        TAKE + "2 left close\n2.02 left open\n2.05 mixer says ONAIR 2\n2.07 mixer says ONAIR 1\n",
                        "cut|confirmed"))
                .endsWith("2.000 cut wheel", "2.020 cut wide", "2.050 confirmed wheel", "2.070 confirmed wide");
    }

    /** Both at once: ours comes through later, so that ours is on air. */
    @Test
    void letsOursComeThroughBeforeItBelievesInAnothers() throws Exception {
        assertThat(of(
                        TAKE + "2 left close\n2.01 mixer says ONAIR 4\n2.03 mixer says ONAIR 2\n9 left open\n",
                        "cut|confirmed"))
                .endsWith("2.000 cut wheel", "2.030 confirmed wheel", "9.000 cut wide");
    }

    /** 300 ms until the cut is stale, and a second for the answer. */
    @Test
    void believesInAnothersWhenOursDoesNotComeThrough() throws Exception {
        assertThat(of(TAKE + "2 left close\n2.01 mixer says ONAIR 4\n9 left open\n", "cut|confirmed"))
                .endsWith("2.000 cut wheel", "3.300 cut glaze");
    }

    @Test
    void saysThatWhatIsOnAirIsNoAngle() throws Exception {
        assertThat(of(TAKE + "5 mixer says ONAIR 9\n", "cut|fault"))
                .endsWith("5.000 fault mixer has \"9\" on air, which is none of the angles");
    }

    @Test
    void knowsWhatIsOnAirBeforeAnythingHasBeenAskedFor() throws Exception {
        assertThat(of("0.5 mixer says ONAIR 3\n" + TAKE, "cut")).containsExactly("0.500 cut hands", "1.000 cut wide");
    }

    @Test
    void givesTheMachineValuesAndEvents() throws Exception {
        assertThat(of(TAKE + "5 mixer says PANEL blue\n6 mixer says IRIS 7\n7 mixer says PANEL red\n", "mark"))
                .containsExactly("7.000 mark panel red 7");
    }

    @Test
    void refusesAValueOfAnotherKind() throws Exception {
        assertThat(of(TAKE + "6 mixer says IRIS wide open\n7 mixer says PANEL red\n", "mark|fault"))
                .containsExactly(
                        "6.000 fault mixer gives \"wide open\" for the value iris, which is of another kind or out of its bounds",
                        "7.000 mark panel red 4");
    }

    @Test
    void saysOnceThatAPatternTakesTooLong() throws Exception {
        String long1 = "x".repeat(60) + "!\n";
        assertThat(of(TAKE + "6 mixer says " + long1 + "7 mixer says " + long1, "fault"))
                .containsExactly("6.000 fault the pattern ^(x+?)+?$ takes too long: write a simpler one");
    }

    private static final String ROLLS = "recorder says {\"mode\":\"record\"}\n";
    private static final String STOPS = "recorder says {\"mode\":\"stop\"}\n";

    @Test
    void findsThatARecorderDoesNotRoll() throws Exception {
        assertThat(of("0.5 " + STOPS + TAKE + "8 lamp lost\n", "mark|fault|take"))
                .containsExactly("1.000 take 1 begins", "4.000 fault recorder silent", "4.000 mark silent");
    }

    @Test
    void isContentWithARecorderThatSaysThatItRolls() throws Exception {
        assertThat(of(
                        "0.5 " + STOPS + TAKE + "3.9 " + ROLLS + "20 right close\n20.1 right open\n30 " + STOPS,
                        "mark|fault"))
                .isEmpty();
    }

    @Test
    void saysAtOnceThatARecorderHasStopped() throws Exception {
        assertThat(of(TAKE + "2 " + ROLLS + "10 " + STOPS, "mark|fault|send"))
                .containsExactly(
                        "10.000 fault recorder stopped",
                        "10.000 mark stopped",
                        "10.000 send alarm",
                        "10.000 mark idle");
    }

    @Test
    void saysAtOnceThatTheLinkToARecorderIsLost() throws Exception {
        assertThat(of(TAKE + "2 " + ROLLS + "10 recorder lost\n11 recorder up\n12 recorder lost\n", "fault"))
                .containsExactly("10.000 fault recorder stopped");
    }

    @Test
    void asksEachTakeAnew() throws Exception {
        String twice = TAKE + "2 " + ROLLS + "5 right close\n5.1 right open\n6 right close\n6.1 right open\n";
        assertThat(of(twice + "12 lamp lost\n", "fault")).containsExactly("9.000 fault recorder silent");
    }

    /** A word from before the take is about another. */
    @Test
    void takesOnlyAWordFromWithinTheTake() throws Exception {
        assertThat(of("0.5 " + ROLLS + TAKE + "8 lamp lost\n", "fault")).containsExactly("4.000 fault recorder silent");
    }

    @Test
    void takesARecorderThatTheScenarioNeverMentionsAtItsWord() throws Exception {
        assertThat(of(TAKE + "8 lamp lost\n", "fault")).isEmpty();
    }
}
