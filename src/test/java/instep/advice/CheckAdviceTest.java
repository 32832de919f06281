package instep.advice;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigException;
import instep.config.ConfigReader;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** What is allowed but hardly meant. The machine begins on line 10 of each file. */
class CheckAdviceTest {
    private static final String START = """
            instep: 1
            timecode: { rate: 25 }
            gear: { mixer: { tcp: 192.0.2.10:9701 } }
            angles:
              wide: { reel: WIDE, cut: { mixer: "CUT 1" } }
            pedals:
              floor:
                match: { usb: "1209:2303" }
                contacts: { left: KEY_A, right: KEY_B }
            """;

    /** The two states of every lesson, with more on the states and more states. */
    private static final String LESSON = """
            machine:
              states:
                standby: { on: { left.hold: rolling } }
                rolling:
                  rolling: true
                  angle: wide
                  on: { right.hold: standby }
            """;

    @Test
    void hasNothingToSayOfAPlainLesson() throws ConfigException {
        assertThat(advice(LESSON)).isEmpty();
    }

    static Stream<Path> examples() throws IOException {
        try (Stream<Path> files = Files.list(Path.of("config-examples"))) {
            return files.filter(file -> file.toString().endsWith(".yaml")).sorted().toList().stream();
        }
    }

    @ParameterizedTest
    @MethodSource("examples")
    void asksOfTheExamplesOnlyAboutWhatIsMeant(Path example) throws ConfigException {
        List<String> advice = CheckAdvice.of(ConfigReader.read(example));
        if (example.endsWith("button-box-layers.yaml")) {
            assertThat(advice).hasSize(2);
            assertThat(advice.get(0)).contains("one long press does both", "after 3 s power.hold 3s as well");
            assertThat(advice.get(1)).contains("let go between 1 s and 3 s");
        } else {
            assertThat(advice).isEmpty();
        }
    }

    @Test
    void seesAHoldThatGoesOnInTheStateToWhichItLed() throws ConfigException {
        assertThat(advice("""
                machine:
                  states:
                    standby: { on: { right.hold: rolling } }
                    rolling:
                      rolling: true
                      angle: wide
                      on: { right.hold 2s: standby, left.press: { mark: retake } }
                """))
                .singleElement()
                .asString()
                .contains(":1", "after 500 ms it is right.hold (line ", "after 2 s right.hold 2s as well");
    }

    @Test
    void asksWhatALineIsForThatDoesNothing() throws ConfigException {
        assertThat(advice(LESSON.replace("right.hold: standby", "right.hold: standby, left.tap: { after: 1s }")))
                .singleElement()
                .asString()
                .contains("this does nothing");
        assertThat(
                        advice(
                                LESSON.replace(
                                        "right.hold: standby }",
                                        "right.hold: standby, left.tap: { mark: a } }\n      states: { quiet: { on: { left.tap: { after: 1s } } } }")))
                .as("it keeps the outer one from acting")
                .isEmpty();
    }

    @Test
    void measuresTheGapBesideATapToTheShortestHold() throws ConfigException {
        assertThat(advice("""
                machine:
                  states:
                    standby: { on: { left.hold: rolling } }
                    rolling:
                      rolling: true
                      angle: wide
                      on:
                        left.hold: standby
                        right.tap: { mark: a }
                        right.hold 3s: { mark: b }
                        right.hold 1s: { mark: c }
                """)).singleElement().asString().contains("let go between 500 ms and 1 s");
    }

    @Test
    void namesAStateThatNothingLeadsTo() throws ConfigException {
        assertThat(advice(LESSON + "    glazing: { on: { left.tap: rolling } }\n"))
                .containsExactly("lesson.yaml:17:5: nothing leads to the state \"glazing\"");
    }

    @Test
    void namesAStateFromWhichThereIsNoWayHome() throws ConfigException {
        assertThat(advice(LESSON.replace("right.hold: standby", "right.hold: standby, right.tap: stuck")
                        + "    stuck: { angle: wide }\n"))
                .containsExactly("lesson.yaml:17:5: from \"stuck\" there is no way back to \"standby\"");
    }

    @Test
    void namesAContactThatDoesNothing() throws ConfigException {
        assertThat(advice(LESSON.replace("right.hold", "left.hold")))
                .containsExactly("the contact \"floor.right\" does nothing in any state");
    }

    @Test
    void namesAnAngleThatNoGestureReachesAndGearThatIsNeverTold() throws ConfigException {
        assertThat(advice(LESSON.replace("      angle: wide\n", "")))
                .containsExactly("no gesture puts the angle \"wide\" on air");
        assertThat(CheckAdvice.of(
                        ConfigReader.parse("lesson.yaml", START.replace("cut: { mixer: \"CUT 1\" }", "") + LESSON)))
                .containsExactly("the gear \"mixer\" is never told anything");
    }

    @Test
    void namesATransitionThatAnEarlierOneShadows() throws ConfigException {
        assertThat(advice(LESSON.replace("right.hold: standby", "right: standby, right.hold: { mark: late }")))
                .containsExactly("lesson.yaml:16:29: this is never taken, since line 16 takes the same event first");
    }

    @Test
    void namesTheGapBetweenATapAndALongHold() throws ConfigException {
        assertThat(advice(LESSON.replace("right.hold: standby", "right.hold 2s: standby, right.tap: { mark: retake }")))
                .containsExactly(
                        "lesson.yaml:16:13: let go between 500 ms and 2 s, \"right\" does nothing: it is no right.tap"
                                + " any more and no right.hold 2s yet. To close the gap, give the contact hold: 2s and write"
                                + " right.hold, here and wherever else it is held");
        assertThat(advice(LESSON.replace(
                        "right.hold: standby",
                        "right.hold 2s: standby, right.tap: { mark: retake }, right.hold: { mark: note }")))
                .as("the plain hold is in the gap")
                .isEmpty();
    }

    @Test
    void namesTheTimeInWhichAShortHoldIsATapAsWell() throws ConfigException {
        assertThat(advice(LESSON.replace(
                        "right.hold: standby", "right.hold 300ms: standby, right.tap: { mark: retake }")))
                .containsExactly("lesson.yaml:16:13: let go between 300 ms and 500 ms, \"right\" does both: it is a"
                        + " right.hold 300ms already and still a right.tap. To have one or the other, give the contact"
                        + " hold: 300ms and write right.hold, here and wherever else it is held");
    }

    @Test
    void looksForTheTapInTheStatesAroundAsWell() throws ConfigException {
        assertThat(advice(LESSON.replace(
                        "right.hold: standby }",
                        "right.tap: { mark: retake } }\n      states: { inside: { on: { right.hold 2s: standby } } }")))
                .singleElement()
                .asString()
                .startsWith("lesson.yaml:17:33: let go between 500 ms and 2 s");
    }

    @Test
    void namesWhatAPressLeadsAwayFrom() throws ConfigException {
        assertThat(advice(LESSON.replace("right.hold: standby", "right.press: standby, right.hold: { mark: late }")))
                .containsExactly(
                        "lesson.yaml:16:35: right.hold begins with right.press, which leads to \"standby\" first;"
                                + " so it is hardly ever heard here. Should it stand there?");
        assertThat(advice(LESSON.replace("right.hold: standby", "right.hold: standby, right.hold 2s: { mark: late }")))
                .containsExactly(
                        "lesson.yaml:16:34: right.hold 2s begins with right.hold, which leads to \"standby\" first;"
                                + " so it is hardly ever heard here. Should it stand there?");
        assertThat(advice(LESSON.replace(
                        "right.hold: standby",
                        "right.press: { cond: { take: 3 }, target: standby }, right.hold: standby")))
                .as("the press does not always lead away")
                .isEmpty();
    }

    @Test
    void namesTheTransitionThatEndsATakeOnTheWayToAStateInside() throws ConfigException {
        String inside = LESSON.replace(
                "right.hold: standby }",
                "right.hold: standby, left.tap: %s }\n      states: { talking: { on: { right.tap: working } }, working: }");
        assertThat(advice(inside.formatted("working")))
                .containsExactly(
                        "lesson.yaml:16:34: this leaves \"rolling\" and enters it again, so that the take that is"
                                + " open ends and another one begins. If it is to stay, write internal: true beside the target");
        assertThat(advice(inside.formatted("{ target: working, internal: true }")))
                .isEmpty();
        assertThat(advice(inside.formatted("rolling")))
                .containsExactly(
                        "lesson.yaml:16:34: this leaves \"rolling\" and enters it again, so that the take that is open"
                                + " ends and another one begins");
        assertThat(advice(inside.formatted("working").replace("rolling: true", "onentry: { mark: begun }")))
                .singleElement()
                .asString()
                .contains("what it does on entry and on exit is done again");
    }

    private static List<String> advice(String machine) throws ConfigException {
        return CheckAdvice.of(ConfigReader.parse("lesson.yaml", START + machine));
    }

    @Test
    void seesAnInnerLineThatKeepsTheTakeFromEnding() throws ConfigException {
        String inner = LESSON.replace(
                "right.hold: standby }",
                "right.hold: standby }\n      states: { near: { on: { right.hold: { mark: near } } } }");
        assertThat(advice(inner))
                .singleElement()
                .asString()
                .contains(":17:", "in \"near\" this keeps right.hold from ending the take, as line 16 has it");
        assertThat(advice(inner.replace("{ mark: near }", "{ cond: { take: { above: 3 } }, mark: near }")))
                .as("only at times")
                .isEmpty();
    }

    @Test
    void seesWhatAPressDoesBesideWhatItBecomes() throws ConfigException {
        assertThat(
                        advice(
                                LESSON.replace(
                                        "right.hold: standby",
                                        "right.hold: standby, left.press: { angle: wide, until: left.release }, left.hold: { angle: wide, until: left.hold-end }")))
                .singleElement()
                .asString()
                .contains(
                        "left.hold begins with left.press, for which line 16 has acted",
                        "no shot of its own",
                        "left.tap");
        assertThat(advice(LESSON.replace(
                        "right.hold: standby",
                        "right.hold: standby, left.press: { mark: a }, left.double-tap: { mark: b }")))
                .singleElement()
                .asString()
                .contains("left.double-tap begins with left.press");
        assertThat(
                        advice(
                                LESSON.replace(
                                        "right.hold: standby",
                                        "right.hold: standby, left.press: { angle: wide, until: left.release }, left.hold: { mark: b }")))
                .as("a mark beside a cut")
                .isEmpty();
    }

    @Test
    void seesATakeThatEndsWhenTheFootThatBeganItIsLifted() throws ConfigException {
        assertThat(advice(LESSON.replace("right.hold: standby", "left.hold-end: standby, right.press: { mark: a }")))
                .singleElement()
                .asString()
                .contains("line 12 begins the take with a hold of the same foot");
    }

    @Test
    void asksOnceAboutAGapThatTwoStatesHave() throws ConfigException {
        assertThat(advice("""
                machine:
                  states:
                    standby: { on: { left.hold: rolling } }
                    rolling:
                      rolling: true
                      angle: wide
                      on: { left.hold: standby, right.tap: { mark: a } }
                      states:
                        near: { on: { right.hold 1s: { mark: b }, left.tap: far } }
                        far: { on: { right.hold 1s: { mark: c }, left.tap: near } }
                """)).singleElement().asString().contains("let go between 500 ms and 1 s");
    }

    @Test
    void asksAboutADoneEventThatNeverComes() throws ConfigException {
        assertThat(advice(LESSON.replace("right.hold: standby", "right.hold: standby, done.state.standby: standby")))
                .singleElement()
                .asString()
                .contains("done.state.standby never comes");
    }

    @Test
    void seesEventsThatRaiseEachOtherWithoutEnd() throws ConfigException {
        String raising = LESSON.replace(
                "right.hold: standby", "right.hold: standby, left.tap: { raise: x }, x: { raise: y }, y: { raise: x }");
        assertThat(advice(raising)).singleElement().asString().contains("this raises \"y\", which raises \"x\"");
        assertThat(advice(raising.replace("y: { raise: x }", "y: { raise: x, after: 1s }")))
                .isEmpty();
        assertThat(advice(raising.replace("y: { raise: x }", "y: { raise: x, cond: { take: { above: 3 } } }")))
                .isEmpty();
    }

    @Test
    void seesAPressThatLeadsToAHoldOfTheSameFoot() throws ConfigException {
        assertThat(advice(LESSON.replace("left.hold: rolling", "right.press: rolling")
                        .replace("right.hold: standby", "right.hold: standby, left.tap: { mark: a }")))
                .singleElement()
                .asString()
                .contains("at once it is right.press (line 12)", "after 500 ms right.hold as well");
    }

    @Test
    void knowsThatADetourToAStateComesBackAndAsksWhetherTheTakeIsToEnd() throws ConfigException {
        String detour = LESSON.replace(
                        "right.hold: standby", "right.hold: standby, left.press: { target: peek, until: left.release }")
                + "    peek: { angle: wide }\n";
        assertThat(advice(detour))
                .singleElement()
                .asString()
                .contains("this detour leaves \"rolling\", so that the take ends here");
    }

    @Test
    void seesADetourWithNothingToComeBackTo() throws ConfigException {
        String bare = LESSON.replace("      angle: wide\n", "")
                .replace(
                        "right.hold: standby", "right.hold: standby, left.press: { angle: wide, until: left.release }");
        assertThat(advice(bare)).singleElement().asString().contains("there is nothing to come back to");
        assertThat(advice(bare.replace("right.hold: standby", "right.hold: standby, right.tap: { angle: wide }")))
                .as("what is on air before it is not certain")
                .isEmpty();
    }

    @Test
    void seesADetourThatAShortPressLeavesOpen() throws ConfigException {
        assertThat(advice(LESSON.replace(
                        "right.hold: standby",
                        "right.hold: standby, left.press: { angle: wide, until: left.hold-end }")))
                .singleElement()
                .asString()
                .contains("a short press begins this, too", "left.release ends both");
    }

    @Test
    void seesAnOuterLineThatNoStateInsideLetsThrough() throws ConfigException {
        String inner = LESSON.replace(
                "right.hold: standby }",
                "right.hold: standby, left.tap: { mark: outer } }\n      states: { a: { on: { left.tap: b } }, b: { on: { left.tap: a } } }");
        assertThat(advice(inner))
                .singleElement()
                .asString()
                .contains(":16:", "never taken, since each state inside \"rolling\" takes the same event first");
        assertThat(advice(inner.replace("b: { on: { left.tap: a } }", "b: { on: { left.double-tap: a } }")))
                .isEmpty();
    }
}
