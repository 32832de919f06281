package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

/** Detours: what is on air while feet come and go. */
class DetoursTest {
    private static final String MOMENTARY = """
            state rolling angle wide rolling
              on left.press angle wheel until left.release
              on middle.press angle hands until middle.release
            """;

    private static final String LATCHED = """
            state rolling angle wide rolling
              on left.press angle wheel until left.press
              on middle.press angle hands until middle.press
            """;

    private static Play ready(String chart) {
        Play play = Play.of(chart);
        play.log();
        return play;
    }

    // Momentary, each order of two that overlap.

    @Test
    void cutsBackWhenItEnds() {
        assertThat(ready(MOMENTARY).down("left").up("left").log()).isEqualTo("cut:wheel cut:wide");
    }

    @Test
    void staysOnTheNewerWhenTheOlderEndsFirst() {
        Play play = ready(MOMENTARY);
        assertThat(play.down("left").log()).isEqualTo("cut:wheel");
        assertThat(play.down("middle").log()).isEqualTo("cut:hands");
        assertThat(play.up("left").log()).isEmpty();
        assertThat(play.up("middle").log()).isEqualTo("cut:wide");
    }

    @Test
    void returnsToTheOlderWhenTheNewerEndsFirst() {
        Play play = ready(MOMENTARY);
        assertThat(play.down("left").down("middle").log()).isEqualTo("cut:wheel cut:hands");
        assertThat(play.up("middle").log()).isEqualTo("cut:wheel");
        assertThat(play.up("left").log()).isEqualTo("cut:wide");
    }

    @Test
    void comesToTheTopWhenItBeginsAnew() {
        Play play = ready(MOMENTARY);
        play.down("left").down("middle").up("left").log();
        assertThat(play.down("left").log()).isEqualTo("cut:wheel");
        assertThat(play.up("left").log()).isEqualTo("cut:hands");
        assertThat(play.up("middle").log()).isEqualTo("cut:wide");
    }

    // Latched.

    @Test
    void isEndedByTheSecondPressWhichDoesNotBeginItAnew() {
        Play play = ready(LATCHED);
        assertThat(play.tap("left").log()).isEqualTo("cut:wheel");
        assertThat(play.tap("left").log()).isEqualTo("cut:wide");
        assertThat(play.tap("left").log()).isEqualTo("cut:wheel");
    }

    @Test
    void isTakenOutOfTheMiddleOfTheStack() {
        Play play = ready(LATCHED);
        assertThat(play.tap("left").tap("middle").log()).isEqualTo("cut:wheel cut:hands");
        assertThat(play.tap("left").log()).isEmpty();
        assertThat(play.machine.openDetours()).isEqualTo(1);
        assertThat(play.tap("middle").log()).isEqualTo("cut:wide");
    }

    @Test
    void movesToTheTopWhenItIsTakenWhileItIsOpen() {
        Play play = ready("""
                state rolling angle wide
                  on left.press angle wheel until right.press
                  on middle.press angle hands until right.press
                """);
        assertThat(play.tap("left").tap("middle").tap("left").log()).isEqualTo("cut:wheel cut:hands cut:wheel");
        assertThat(play.machine.openDetours()).isEqualTo(2);
        assertThat(play.tap("right").log()).isEqualTo("cut:wide");
    }

    // Short press stays, long press peeks.

    @Test
    void staysAfterAShortPressUntilTheNext() {
        Play play = ready("""
                state rolling angle wide
                  on red.press angle glaze until red.hold-end, red.press
                """);
        assertThat(play.tap("red").log()).isEqualTo("cut:glaze");
        assertThat(play.tap("red").log()).isEqualTo("cut:wide");
    }

    @Test
    void peeksAsLongAsALongPressLasts() {
        Play play = ready("""
                state rolling angle wide
                  on red.press angle glaze until red.hold-end, red.press
                """);
        assertThat(play.down("red").at("700ms").log()).isEqualTo("cut:glaze");
        assertThat(play.up("red").log()).isEqualTo("cut:wide");
    }

    // Times.

    @Test
    void endsAfterItsTime() {
        Play play = ready("""
                state rolling angle wide
                  on left.press angle wheel until 4s
                """);
        assertThat(play.down("left").log()).isEqualTo("cut:wheel");
        assertThat(play.at("4009ms").log()).isEmpty();
        assertThat(play.at("4010ms").log()).isEqualTo("cut:wide");
    }

    @Test
    void beginsItsTimeAnewWhenItIsTakenAgain() {
        Play play = ready("""
                state rolling angle wide
                  on e angle wheel until 4s
                """);
        play.at("1s").event("e").at("3s").event("e").log();
        assertThat(play.at("6999ms").log()).isEmpty();
        assertThat(play.at("7s").log()).isEqualTo("cut:wide");
    }

    /** The time runs from the tap, not from when it was known to be one; where that is past, it ends at once. */
    @Test
    void countsItsTimeFromTheBeginningOfADeferredGesture() {
        String chart = """
                state rolling angle wide
                  on right.double-tap do mark retake
                  on right.tap angle hands until %s
                """;
        Play play = ready(chart.formatted("1s")).down("right").up("right");
        assertThat(play.at("1009ms").log()).isEqualTo("cut:hands");
        assertThat(play.at("1010ms").log()).isEqualTo("cut:wide");
        assertThat(ready(chart.formatted("200ms"))
                        .down("right")
                        .up("right")
                        .at("300ms")
                        .log())
                .isEqualTo("cut:hands cut:wide");
    }

    @Test
    void isCalledOffByItsEndBeforeItBegins() {
        String chart = """
                state rolling angle wide
                  on left.press angle wheel until left.release after 150ms
                """;
        assertThat(ready(chart).down("left").up("left").at("10s").log()).isEmpty();
        assertThat(ready(chart).down("left").at("200ms").up("left").log()).isEqualTo("cut:wheel cut:wide");
    }

    @Test
    void isCalledOffByTheSecondPressOfADelayedLatch() {
        Play play = ready("""
                state rolling angle wide
                  on left.press angle wheel until left.press after 500ms
                """);
        assertThat(play.tap("left").down("left").up("left").at("10s").log()).isEmpty();
    }

    // Leaving the state that declares it.

    @Test
    void endsWithTheStateThatDeclaresIt() {
        Play play = ready("""
                state rolling angle wide
                  on left.press angle wheel until left.release
                  on right.press -> standby
                state standby angle glaze
                  on right.press -> rolling
                """);
        assertThat(play.down("left").down("right").log()).isEqualTo("cut:wheel -rolling +standby cut:glaze");
        assertThat(play.machine.openDetours()).isZero();
        assertThat(play.up("right").down("right").log()).isEqualTo("-standby +rolling cut:wide");
    }

    @Test
    void endsWithTheStateThatDeclaresItEvenIfThatIsEnteredAnew() {
        Play play = ready("""
                state rolling angle wide rolling
                  on left.press angle wheel until left.press
                  on right.press -> rolling
                """);
        assertThat(play.tap("left").down("right").log())
                .isEqualTo("cut:wheel -rolling /take:1 take:2 +rolling cut:wide");
        assertThat(play.machine.openDetours()).isZero();
        assertThat(play.tap("left").log()).as("begins, and does not end").isEqualTo("cut:wheel");
    }

    @Test
    void endsWithTheStateThatDeclaresItThoughAnOlderOneReturnsToThatState() {
        Play play = ready("""
                state rolling angle wide
                  on left.press -> close until left.release
                  on middle.press angle hands until e
                  state far
                  state close
                """);
        play.down("left").down("middle").up("left");
        assertThat(play.innermost()).isEqualTo("far");
        assertThat(play.machine.openDetours())
                .as("rolling was left and entered anew")
                .isZero();
        play.down("left").log();
        Play before = ready("""
                state rolling angle wide
                  on left.press -> close until left.release
                  on middle.press angle hands until e
                  state far
                  state close
                """);
        before.tap("middle").down("left").up("left");
        assertThat(before.machine.openDetours())
                .as("but what was open before it left is as before")
                .isEqualTo(1);
        assertThat(before.onAir()).isEqualTo("hands");
    }

    @Test
    void outlivesStatesInsideTheOneThatDeclaresIt() {
        Play play = ready("""
                state rolling angle wide
                  on left.press angle wheel until left.release
                  state throwing
                    on e -> turning
                  state turning angle hands
                """);
        assertThat(play.down("left").event("e").log()).isEqualTo("cut:wheel -throwing +turning cut:hands");
        assertThat(play.machine.openDetours()).isEqualTo(1);
        assertThat(play.up("left").log()).isEmpty();
    }

    // Angles of transitions without until.

    @Test
    void keepsTheAngleOfATransitionUntilItsStateIsLeft() {
        Play play = ready("""
                state rolling angle wide
                  on e angle glaze
                  on left.press angle wheel until left.release
                  on f -> rolling
                """);
        assertThat(play.event("e").log()).isEqualTo("cut:glaze");
        assertThat(play.down("left").up("left").log()).isEqualTo("cut:wheel cut:glaze");
        assertThat(play.event("f").log()).isEqualTo("-rolling +rolling cut:wide");
    }

    @Test
    void putsTheNewestActOnAir() {
        Play play = ready("""
                state rolling angle wide
                  on e angle glaze
                  on left.press angle wheel until left.release
                """);
        assertThat(play.down("left").event("e").log()).isEqualTo("cut:wheel cut:glaze");
        assertThat(play.up("left").log()).isEmpty();
    }

    // To another state.

    private static final String AWAY = """
            state rolling angle wide rolling
              on left.press angle wheel until left.release
              on right.press -> close until right.release
            state close angle glaze
              on middle.press -> closer until middle.release
              on left.press angle hands until left.release
              on e -> rolling
            state closer angle hands
            """;

    @Test
    void goesToItsTargetAndReturns() {
        Play play = ready(AWAY);
        assertThat(play.down("right").log()).isEqualTo("-rolling /take:1 +close cut:glaze");
        assertThat(play.up("right").log()).isEqualTo("-close take:2 +rolling cut:wide");
    }

    @Test
    void nests() {
        Play play = ready(AWAY);
        play.down("right").down("middle").log();
        assertThat(play.innermost()).isEqualTo("closer");
        assertThat(play.up("middle").innermost()).isEqualTo("close");
        assertThat(play.up("right").innermost()).isEqualTo("rolling");
    }

    @Test
    void bequeathsWhatItReturnsToWhenItEndsInTheMiddle() {
        Play play = ready(AWAY);
        play.down("right").down("middle").log();
        assertThat(play.up("right").innermost()).as("the newer stands").isEqualTo("closer");
        assertThat(play.up("middle").innermost())
                .as("and returns to where the older came from")
                .isEqualTo("rolling");
        assertThat(play.machine.openDetours()).isZero();
    }

    @Test
    void keepsWhatWasHeldBeforeItThroughItsReturn() {
        Play play = ready(AWAY);
        assertThat(play.down("left").down("right").log()).isEqualTo("cut:wheel -rolling /take:1 +close cut:glaze");
        assertThat(play.up("right").log()).isEqualTo("-close take:2 +rolling cut:wheel");
        assertThat(play.up("left").log()).isEqualTo("cut:wide");
    }

    @Test
    void endsWhatWasHeldBeforeItWhileItIsAway() {
        Play play = ready(AWAY);
        play.down("left").down("right").up("left").log();
        assertThat(play.up("right").log()).isEqualTo("-close take:2 +rolling cut:wide");
    }

    @Test
    void isForgottenWhenItsTargetIsLeftOtherwise() {
        Play play = ready(AWAY);
        play.down("right").event("e").log();
        assertThat(play.machine.openDetours()).isZero();
        assertThat(play.up("right").innermost()).isEqualTo("rolling");
    }

    @Test
    void usesUpTheEventThatMakesItReturn() {
        Play play = ready("""
                state a
                  on left.press -> b until left.release
                  on left.release -> wrong
                state b
                state wrong
                """);
        assertThat(play.down("left").up("left").innermost()).isEqualTo("a");
    }

    @Test
    void bringsBackTheStatesInsideThatItLeft() {
        Play play = ready("""
                state a
                  on right.press -> c until right.release
                  parallel p
                    state x
                      state x1
                        on e -> x2
                      state x2
                    state y
                      state y1
                        on f -> y2
                      state y2
                state c
                """);
        play.event("e").event("f").down("right");
        assertThat(play.innermost()).isEqualTo("c");
        assertThat(play.up("right").innermost()).isEqualTo("x2 y2");
    }

    @Test
    void leavesOtherRegionsAlone() {
        Play play = ready("""
                parallel p
                  state x
                    state x1
                      on e -> x2 until f
                    state x2
                  state y
                    state y1
                      on e -> y2
                    state y2
                      on k -> y3
                    state y3
                """);
        play.event("e").event("k").log();
        assertThat(play.innermost()).isEqualTo("x2 y3");
        assertThat(play.event("f").log()).isEqualTo("-x2 +x1");
        assertThat(play.innermost()).isEqualTo("x1 y3");
    }

    @Test
    void returnsThoughANewerOneWentFurtherOut() {
        Play play = ready("""
                state home
                  state a
                    on left.press -> b until left.release
                  state b
                    on right.press -> c until right.release
                state c
                """);
        play.down("left").down("right").log();
        assertThat(play.up("right").innermost()).isEqualTo("b");
        assertThat(play.up("left").innermost()).isEqualTo("a");
    }

    @Test
    void returnsToWhereItFirstCameFromWhenItIsTakenAgainAtItsTarget() {
        Play play = ready("""
                state s
                  on left.press -> b internal until right.press
                  state a
                  state b
                """);
        play.tap("left").tap("left");
        assertThat(play.innermost()).isEqualTo("b");
        assertThat(play.tap("right").innermost()).isEqualTo("a");
    }

    @Test
    void movesToTheTopWithItsTargetWhenItIsTakenFromUnderneath() {
        Play play = ready("""
                state s
                  on left.press -> b internal until e
                  state a
                  state b
                    on right.press -> c until f
                  state c
                """);
        play.tap("left").tap("right").tap("left");
        assertThat(play.innermost()).isEqualTo("b");
        assertThat(play.event("e").innermost())
                .as("back to the other one's target")
                .isEqualTo("c");
        assertThat(play.event("f").innermost())
                .as("which has inherited the way home")
                .isEqualTo("a");
    }

    // Lost devices.

    @Test
    void endsWithTheDeviceThatHoldsIt() {
        Play play = ready(MOMENTARY);
        assertThat(play.down("left").down("middle").lose("floor").log())
                .startsWith("cut:wheel cut:hands")
                .endsWith("cut:wide");
        assertThat(play.machine.openDetours()).isZero();
    }

    @Test
    void endsALatchOfADeviceThatIsLost() {
        Play play = ready(LATCHED);
        assertThat(play.tap("left").lose("floor").log()).isEqualTo("cut:wheel cut:wide");
    }

    @Test
    void outlivesTheLossOfAnotherDevice() {
        Play play = ready(MOMENTARY);
        assertThat(play.down("left").lose("box").log()).isEqualTo("cut:wheel");
    }

    /** Nothing that is left could end it: what no foot can take away must not stay on air. */
    @Test
    void endsWithTheDeviceThatAloneCouldEndIt() {
        String chart = """
                state rolling angle wide
                  on left.press angle wheel until red.press
                """;
        assertThat(ready(chart).down("left").lose("box").log()).isEqualTo("cut:wheel cut:wide");
    }

    @Test
    void outlivesTheLossOfADeviceThatIsNotAloneInEndingIt() {
        String byTime = """
                state rolling angle wide
                  on left.press angle wheel until 20s
                """;
        assertThat(ready(byTime).down("left").lose("box").log()).isEqualTo("cut:wheel");
        String byAnother = """
                state rolling angle wide
                  on left.press angle wheel until red.press, right.press
                """;
        assertThat(ready(byAnother).down("left").lose("box").log()).isEqualTo("cut:wheel");
    }

    @Test
    void endsWithAnyDeviceOfAChordThatBeganIt() {
        Play play = ready("""
                state rolling angle wide
                  on left+red.press angle glaze until e
                """);
        play.down("left").down("red");
        assertThat(play.onAir()).isEqualTo("glaze");
        assertThat(play.lose("box").onAir()).isEqualTo("wide");
    }

    @Test
    void endsWithTheDeviceThoughItWasBegunByAnEventRaisedInBetween() {
        Play play = ready("""
                state rolling angle wide
                  on left.press do raise peek
                  on peek angle wheel until left.release
                """);
        assertThat(play.down("left").lose("floor").log()).isEqualTo("cut:wheel cut:wide");
    }

    @Test
    void doesNotBeginWhenItsDeviceIsLostBefore() {
        Play play = ready("""
                state rolling angle wide
                  on left.press angle wheel until right.press after 500ms
                """);
        assertThat(play.down("left").lose("floor").at("10s").log()).isEmpty();
    }

    @Test
    void tellsTheMachineOfTheLossAfterAllHasEnded() {
        Play play = ready("""
                state rolling angle wide
                  on left.press angle wheel until left.release
                  on left.release do mark released
                  on left.tap do mark tapped
                  on floor.lost do mark lost {angle}
                """);
        assertThat(play.down("left").lose("floor").log()).isEqualTo("cut:wheel mark:released cut:wide mark:lost:wide");
    }

    /** The tap still waits to become a double tap when its device goes: it counts, but it holds nothing. */
    @Test
    void isNotBegunByATapAfterItsDeviceIsLost() {
        Play play = ready("""
                state rolling angle wide
                  on right.tap angle wheel until right.press
                  on right.double-tap do mark retake
                """);
        assertThat(play.down("right").up("right").lose("floor").log()).isEqualTo("cut:wheel cut:wide");
        assertThat(play.at("10s").log()).isEmpty();
        assertThat(play.machine.openDetours()).isZero();
    }

    @Test
    void endsWithTheDeviceThoughItBeganLate() {
        Play play = ready("""
                state rolling angle wide
                  on left.press angle wheel until right.press after 100ms
                """);
        assertThat(play.down("left").at("200ms").lose("floor").log()).isEqualTo("cut:wheel cut:wide");
    }

    // Circles.

    private static final String CIRCLE = """
            var n 0
            state a
              on left.press -> b until %s
              always if n > 0 -> c
            state b
              on e do add n 1
            state c
              always if n > 0 -> a
            """;

    /** What it returns to runs in a circle: it stays where it is, but nothing is held any more. */
    @Test
    void endsThoughItsReturnIsSetBack() {
        Play play = ready(CIRCLE.formatted("left.release"));
        play.down("left").event("e").log();
        assertThat(play.up("left").log()).contains("fault");
        assertThat(play.innermost()).isEqualTo("b");
        assertThat(play.machine.openDetours()).isZero();
    }

    @Test
    void endsOnceThoughTheReturnAtItsTimeIsSetBack() {
        Play play = ready(CIRCLE.formatted("1s"));
        play.down("left").event("e").log();
        assertThat(play.at("2s").log()).containsOnlyOnce("fault");
        assertThat(play.innermost()).isEqualTo("b");
        assertThat(play.interpreter.nextDeadline()).isEqualTo(Long.MAX_VALUE);
    }

    // Waits.

    @Test
    void makesATapWaitOnlyWhereADoubleTapIsBound() {
        Play play = ready("""
                state a
                  on right.tap do mark tap
                  on right.press -> b until right.double-tap
                state b
                  on right.tap do mark late
                  on e -> a
                """);
        assertThat(play.down("right").up("right").log()).isEqualTo("-a +b");
        assertThat(play.at("10s").log())
                .as("the until of an open detour counts")
                .isEqualTo("mark:late");
        assertThat(play.event("e").log()).isEqualTo("-b +a");
    }

    @Test
    void doesNotWaitForWhatOnlyAPrefixMatches() {
        Play play = ready("""
                state a
                  on right do mark any
                  on right.tap do mark tap
                """);
        assertThat(play.down("right").up("right").log())
                .as("press, latch, release and tap, at once")
                .isEqualTo("mark:any mark:any mark:any mark:any");
    }
}
