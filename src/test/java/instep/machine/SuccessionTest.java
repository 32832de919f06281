package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** A machine that goes on in another chart than the one in which it began. */
class SuccessionTest {
    private static final String LESSON = """
            var n 0 0 10
            state standby
              on e -> rolling
            state rolling angle wide rolling
              enter send roll
              exit send stop
              on left.press angle wheel until left.release
              on middle.press angle hands
              on k -> standby
              on f do add n 1
            """;

    private static Play inATake() {
        return Play.of(LESSON).event("e");
    }

    @Test
    void neitherLeavesNorEntersWhatIsStillThere() {
        Play play = inATake().goesOnAs("state other\n  on e -> standby\n" + LESSON);
        assertThat(play.log()).isEmpty();
        assertThat(play.active()).isEqualTo("rolling");
        assertThat(play.machine.isRolling()).isTrue();
        play.event("k");
        assertThat(play.log()).isEqualTo("send:stop -rolling /take:1 +standby");
        play.event("e");
        assertThat(play.log()).isEqualTo("-standby take:2 +rolling send:roll cut:wide");
    }

    @Test
    void leavesInTheOldChartWhatIsGoneAndEntersInTheNewOneWhatItBeginsWith() {
        Play play = inATake().goesOnAs("state idle\n  enter send stop\nstate rolling2");
        assertThat(play.log()).isEqualTo("send:stop -rolling /take:1 +idle send:stop");
    }

    @Test
    void goesToTheNearestStateAroundThatIsThere() {
        Play play = Play.of(
                        "state a initial a2\n  state a1\n  state a2\n    state a21\n    state a22\n      enter raise k\n    on e -> a22\n")
                .event("e");
        assertThat(play.innermost()).isEqualTo("a22");
        play = play.goesOnAs("state b\nstate a\n  state a1\n  state a2\n    state a23\n    state a21\n");
        assertThat(play.log()).isEqualTo("-a22 +a23");
        assertThat(play.active()).isEqualTo("a a2 a23");
        play = play.goesOnAs("state b\nstate a\n  state a1\n");
        assertThat(play.active()).isEqualTo("a a1");
    }

    @Test
    void keepsEachRegionWhereItIs() {
        String regions =
                "parallel p\n  state x\n    state x1\n      on e -> x2\n    state x2\n  state y\n    state y1\n      on e -> y2\n    state y2\n";
        Play play = Play.of(regions)
                .event("e")
                .goesOnAs(regions.replace("    state y2\n", "    state y3\n").replace("-> y2", "-> y3"));
        assertThat(play.log()).isEqualTo("-y2 +y1");
        assertThat(play.active()).isEqualTo("p x x2 y y1");
        play = play.goesOnAs(regions + "  state z\n    state z1\n");
        assertThat(play.log()).isEqualTo("+z +z1");
        // Two regions that have become one state after the other cannot both stay.
        play = play.goesOnAs("state y1\nstate x2\n");
        assertThat(play.active()).isEqualTo("x2");
    }

    @Test
    void keepsAPressedPedalItsDetourAndItsRelease() {
        Play play = inATake().down("left");
        assertThat(play.onAir()).isEqualTo("wheel");
        play = play.goesOnAs(LESSON.replace("on k", "on left.hold do mark held\n  on k"));
        assertThat(play.log()).isEmpty();
        assertThat(play.onAir()).isEqualTo("wheel");
        play.at("2s").up("left");
        assertThat(play.log()).isEqualTo("mark:held cut:wide");
    }

    @Test
    void doesNotHoldForAThresholdThatHasPassedAlready() {
        Play play =
                inATake().down("left").at("2s").goesOnAs(LESSON.replace("on k", "on left.hold do mark held\n  on k"));
        play.at("5s").up("left");
        assertThat(play.log()).isEqualTo("cut:wide");
    }

    @Test
    void endsADetourThatIsWrittenOtherwiseOrWhosePedalIsGone() {
        Play other = inATake().down("left").goesOnAs(LESSON.replace("angle wheel until", "angle glaze until"));
        assertThat(other.log()).isEqualTo("cut:wide");
        Play gone = inATake().down("left").goesOnAs(LESSON, "floor");
        assertThat(gone.log()).isEqualTo("cut:wide");
        gone.down("left");
        assertThat(gone.onAir()).isEqualTo("wheel");
    }

    @Test
    void returnsFromADetourToWhereItLeft() {
        String away =
                "state a initial a2\n  on left.press -> b internal until left.release\n  state a1\n  state a2\nstate b\n";
        Play play = Play.of(away).down("left");
        assertThat(play.innermost()).isEqualTo("b");
        play = play.goesOnAs("state c\n" + away);
        assertThat(play.innermost()).isEqualTo("b");
        play.up("left");
        assertThat(play.innermost()).isEqualTo("a2");
        Play gone = Play.of(away).down("left").goesOnAs(away.replace("a2", "a3"));
        assertThat(gone.innermost()).isEqualTo("a3");
    }

    @Test
    void keepsWhatWasCutToAndTakesANewAngleOfTheState() {
        Play kept = inATake().down("middle").goesOnAs(LESSON.replace("angle wide", "angle glaze"));
        assertThat(kept.onAir()).isEqualTo("hands");
        Play own = inATake().goesOnAs(LESSON.replace("angle wide", "angle glaze"));
        assertThat(own.log()).isEqualTo("cut:glaze");
        assertThat(inATake().other("hands").goesOnAs(LESSON + "state z\n").onAir())
                .isEqualTo("hands");
    }

    @Test
    void keepsValuesThatAreOfTheSameKindAndWithinTheirBounds() {
        Play play = inATake().event("f").event("f");
        assertThat(play.goesOnAs("var m 7\n" + LESSON).machine.value("n")).isEqualTo(2L);
        assertThat(play.goesOnAs(LESSON.replace("var n 0 0 10", "var n 0 0 1"))
                        .machine
                        .value("n"))
                .isEqualTo(0L);
        assertThat(play.goesOnAs("var m 7\n" + LESSON).machine.value("m")).isEqualTo(7L);
    }

    @Test
    void keepsTheTimeOfADelayThatIsWrittenAsBeforeAndBeginsANewOneNow() {
        String waiting = "state a\n  always -> b after 4s\nstate b\n";
        Play kept = Play.of(waiting).at("3s").goesOnAs("state c\n" + waiting).at("4s");
        assertThat(kept.innermost()).isEqualTo("b");
        Play anew =
                Play.of(waiting).at("3s").goesOnAs(waiting.replace("4s", "2s")).at("4s");
        assertThat(anew.innermost()).isEqualTo("a");
        assertThat(anew.at("5s").innermost()).isEqualTo("b");
    }

    @Test
    void remembersInAHistoryWhatItRemembered() {
        String chart =
                "state a\n  on e -> b\n  history h -> a1\n  state a1\n    on f -> a2\n  state a2\nstate b\n  on k -> h\n";
        Play play = Play.of(chart)
                .event("f")
                .event("e")
                .goesOnAs("state c\n" + chart)
                .event("k");
        assertThat(play.innermost()).isEqualTo("a2");
        Play gone = Play.of(chart)
                .event("f")
                .event("e")
                .goesOnAs(chart.replace("a2", "a3"))
                .event("k");
        assertThat(gone.innermost()).isEqualTo("a1");
    }

    @Test
    void opensAndClosesTheTakeThatAStateHasGainedOrLost() {
        assertThat(inATake()
                        .goesOnAs(LESSON.replace(" rolling\n  enter", "\n  enter"))
                        .log())
                .isEqualTo("/take:1");
        assertThat(Play.of(LESSON)
                        .goesOnAs(LESSON.replace("state standby", "state standby rolling"))
                        .log())
                .isEqualTo("take:1");
    }

    @Test
    void resumesATakeWithoutEnteringItsStates() {
        Play before = inATake();
        long began = before.interpreter.standing().began();
        before.event("f").down("middle").down("left");
        Whereabouts standing = before.interpreter.standing();
        assertThat(standing)
                .isEqualTo(new Whereabouts(
                        List.of("rolling"),
                        List.of(new Whereabouts.Act("hands", "rolling", null)),
                        List.of(),
                        1,
                        began,
                        0,
                        Map.of("n", "1")));
        Play play = Play.resumed("state other\n" + LESSON, standing);
        assertThat(play.log()).isEqualTo("take:1 cut:hands");
        assertThat(play.machine.value("n")).isEqualTo(1L);
        play.event("k").event("e");
        assertThat(play.log())
                .isEqualTo("send:stop -rolling /take:1 +standby -standby take:2 +rolling send:roll cut:wide");
    }

    /** As if the foot had been lifted, but for what is said on the way. */
    @Test
    void resumesWhereADetourHadLeftThatAFootHeld() {
        String away = """
                state a initial a2 rolling
                  on left.press -> b internal until left.release
                  state a1
                  state a2 angle hands
                    enter send roll
                  state b angle glaze
                    exit send stop
                """;
        Play killed = Play.of(away).down("left");
        assertThat(killed.onAir()).isEqualTo("glaze");
        killed.log();
        Whereabouts standing = killed.interpreter.standing();
        assertThat(killed.log()).isEmpty();
        assertThat(killed.innermost()).isEqualTo("b");
        Play play = Play.resumed(away, standing);
        assertThat(play.log()).isEqualTo("take:1 cut:hands");
        assertThat(play.innermost()).isEqualTo("a2");
    }

    @Test
    void staysInAStateToWhichALatchedDetourWent() {
        String away = """
                state a angle wide rolling
                  on left.press -> b internal angle hands until left.press
                  state a1
                  state b
                """;
        Whereabouts standing = Play.of(away).tap("left").interpreter.standing();
        Play play = Play.resumed(away, standing);
        assertThat(play.innermost()).isEqualTo("b");
        assertThat(play.onAir()).isEqualTo("hands");
    }

    @Test
    void doesNotResumeATakeThatAFootHeld() {
        String held = "state standby\n  on left.press -> rolling until left.release\nstate rolling rolling\n";
        Play killed = Play.of(held).down("left");
        assertThat(killed.machine.isRolling()).isTrue();
        assertThat(Play.of(held).machine.canResume(killed.interpreter.standing()))
                .isFalse();
    }

    @Test
    void resumesNoDetourThatIsWrittenOtherwise() {
        String latched = LESSON.replace("angle hands", "angle hands until middle.press");
        Whereabouts standing =
                Play.of(latched).event("e").tap("middle").interpreter.standing();
        assertThat(Play.resumed(latched, standing).onAir()).isEqualTo("hands");
        assertThat(Play.resumed(latched.replace("until middle.press", "until k"), standing)
                        .onAir())
                .isEqualTo("wide");
        assertThat(Play.resumed(latched.replace("angle hands", "angle glaze"), standing)
                        .onAir())
                .isEqualTo("wide");
    }

    @Test
    void resumesOnlyWhereAStateOfTheTakeIsLeft() {
        Whereabouts standing = inATake().interpreter.standing();
        assertThat(Play.of(LESSON).machine.canResume(standing)).isTrue();
        assertThat(Play.of(LESSON.replace("rolling", "teaching").replace("wide teaching", "wide rolling"))
                        .machine
                        .canResume(standing))
                .isFalse();
        assertThat(Play.of(LESSON.replace(" rolling\n  enter", "\n  enter"))
                        .machine
                        .canResume(standing))
                .isFalse();
    }
}
