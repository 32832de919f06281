package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/**
 * What W3C SCXML 1.0 (Recommendation of 1 September 2015) asks for. Beside each case stand its section and, where there is one, the number of the
 * assertion in the implementation report (w3.org/Voice/2013/scxml-irp) whose test it follows.
 */
class ScxmlTest {
    /** 3.2, assertion 355; 3.6. */
    @Test
    void entersTheFirstChildByDefault() {
        assertThat(Play.of("""
                state a
                  state b
                  state c
                state d
                """).log()).isEqualTo("+a +b");
    }

    /** 3.3, assertion 364: an initial may lie deeper than a child. */
    @Test
    void entersTheInitialDescendantAndAllBetween() {
        assertThat(Play.of("""
                state a initial d
                  state b
                  state c
                    state x
                    state d
                """).log()).isEqualTo("+a +c +d");
    }

    /** 3.4: the other regions are entered by default, assertion 576. */
    @Test
    void entersEveryRegionOfAParallelStateWhateverIsTargeted() {
        Play play = Play.of("""
                state a
                  on e -> d
                parallel p
                  state b
                    state c
                    state d
                  state x
                    state y
                  state z
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("-a +p +b +d +x +y +z");
    }

    /** 3.13: a target in each of two regions. */
    @Test
    void entersSeveralTargetsAtOnce() {
        Play play = Play.of("""
                state a
                  on e -> d z
                parallel p
                  state b
                    state c
                    state d
                  state x
                    state y
                    state z
                """);
        assertThat(play.event("e").innermost()).isEqualTo("d z");
    }

    /** 3.8 and 3.9, assertions 375 and 377: in the order in which they are written. */
    @Test
    void doesTheContentOfEntryAndExitInItsOrder() {
        Play play = Play.of("""
                state a
                  enter send roll
                  enter mark one
                  exit send stop
                  exit mark two
                  on e -> b
                state b
                """);
        assertThat(play.log()).isEqualTo("+a send:roll mark:one");
        assertThat(play.event("e").log()).isEqualTo("send:stop mark:two -a +b");
    }

    /** 3.13, assertions 404 to 406: first all exits, innermost first and from the end of the document; then the transitions; then entries. */
    @Test
    void leavesThenTakesThenEnters() {
        Play play = Play.of("""
                parallel p
                  on e -> q do mark t
                  exit mark p
                  state a
                    exit mark a
                    state a1
                      exit mark a1
                  state b
                    exit mark b
                parallel q
                  enter mark q
                  state c
                    enter mark c
                    state c1
                      enter mark c1
                  state d
                    enter mark d
                """);
        play.log();
        assertThat(play.event("e").log())
                .isEqualTo("mark:b -b mark:a1 -a1 mark:a -a mark:p -p mark:t"
                        + " +q mark:q +c mark:c +c1 mark:c1 +d mark:d");
    }

    /** Appendix D, {@code exitStates}, assertion 409: a state is active during its own exit and no longer during its parent's. */
    @Test
    void isInAStateUntilItsOwnExitIsDone() {
        Play play = Play.of("""
                state a
                  exit raise outer
                  on e -> b
                  state a1
                    exit raise inner
                state b
                  on inner if in(a1) -> wrong
                  on outer if not in(a1) -> c
                state c
                state wrong
                """);
        assertThat(play.event("e").innermost()).isEqualTo("c");
    }

    /** 3.13, assertion 403a: the innermost source wins over its ancestors. */
    @Test
    void takesTheTransitionOfTheInnermostState() {
        Play play = Play.of("""
                state a
                  on e -> c
                  state b
                    on e -> d
                state c
                state d
                """);
        assertThat(play.event("e").innermost()).isEqualTo("d");
    }

    /** 3.13, assertion 403a: within a state, the first in document order whose condition holds. */
    @Test
    void takesTheFirstTransitionThatHolds() {
        Play play = Play.of("""
                state a
                  on e if in(c) -> b
                  on e -> c
                  on e -> d
                state b
                state c
                state d
                """);
        assertThat(play.event("e").innermost()).isEqualTo("c");
    }

    /** 3.13, assertion 403a: where no condition holds, the ancestor's turn comes. */
    @Test
    void fallsThroughToTheAncestorWhereNoConditionHolds() {
        Play play = Play.of("""
                state a
                  on e -> c
                  state b
                    on e if in(d) -> d
                state c
                state d
                """);
        assertThat(play.event("e").innermost()).isEqualTo("c");
    }

    /** 3.13, assertion 403b: each region takes its own, and a transition that two regions select is taken once. */
    @Test
    void takesOneTransitionPerRegionAndASharedOneOnce() {
        Play play = Play.of("""
                parallel p
                  on e do mark shared
                  state a
                    on f -> a2 internal
                    state a1
                    state a2
                  state b
                    on f -> b2 internal
                    state b1
                    state b2
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("mark:shared");
        assertThat(play.event("f").log()).isEqualTo("-b1 -a1 +a2 +b2");
    }

    /** 3.13, assertion 403c: of two that conflict, the one of the region that is first in document order. */
    @Test
    void letsTheFirstRegionPreemptTheLater() {
        Play play = Play.of("""
                parallel p
                  state a
                    on e -> x
                  state b
                    on e -> y
                  state c
                    on e do mark untouched
                state x
                state y
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("-c -b -a -p mark:untouched +x");
    }

    /** Appendix D, {@code removeConflictingTransitions}: a descendant of the source of the one before it pushes that out. */
    @Test
    void letsTheInnerSourcePreemptTheOuterOneThatWasSelectedFirst() {
        Play play = Play.of("""
                parallel p
                  on e -> x
                  state a
                  state b
                    on e -> b2
                    state b1
                    state b2
                state x
                """);
        assertThat(play.event("e").innermost()).isEqualTo("a b2");
    }

    /** 3.13, assertion 503: without a target, nothing is left or entered. */
    @Test
    void staysWhereItIsWithoutATarget() {
        Play play = Play.of("""
                state a
                  on e do mark here
                  state b
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("mark:here");
    }

    /** 3.5 and 3.13, assertion 504: an external transition leaves its source, even for a target inside. */
    @Test
    void leavesTheSourceOfAnExternalTransition() {
        Play play = Play.of("""
                state a
                  on e -> c
                  state b
                  state c
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("-b -a +a +c");
    }

    /** 3.5, assertion 505: an internal one from a compound state to inside of it does not. */
    @Test
    void keepsTheSourceOfAnInternalTransition() {
        Play play = Play.of("""
                state a
                  on e -> c internal
                  state b
                  state c
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("-b +c");
    }

    /** 3.13, assertion 506: an internal transition to its own source, or outside of it, is external. */
    @Test
    void takesAnInternalTransitionThatLeadsOutAsExternal() {
        Play play = Play.of("""
                state s
                  state a
                    on e -> a internal
                    on f -> d internal
                    state b
                  state d
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("-b -a +a +b");
        assertThat(play.event("f").log()).isEqualTo("-b -a +d");
    }

    /** 3.13, assertion 533: an internal transition of a state that is not compound, such as a parallel one, is external. */
    @Test
    void takesAnInternalTransitionOfAParallelStateAsExternal() {
        Play play = Play.of("""
                parallel p
                  on e -> b2 internal
                  state a
                  state b
                    state b1
                    state b2
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("-b1 -b -a -p +p +a +b +b2");
    }

    /** Appendix D, {@code findLCCA}: the domain is a compound state, so that one region cannot move another and stay. */
    @Test
    void leavesTheParallelStateForATargetInAnotherRegion() {
        Play play = Play.of("""
                parallel p
                  state a
                    on e -> b2
                  state b
                    state b1
                    state b2
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("-b1 -b -a -p +p +a +b +b2");
    }

    /** 3.7 and 3.7.1, assertions 372 and 416: done after the entry of the final child. */
    @Test
    void isDoneWhenAFinalChildIsEntered() {
        Play play = Play.of("""
                state a
                  on done.state.a -> c
                  state b
                    on e -> f1
                  final f1
                    enter mark last
                state c
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("-b +f1 mark:last -f1 -a +c");
    }

    /** 3.4 and 3.7.1, assertions 417 and 570: a parallel state is done when all its regions are, and its event comes once. */
    @Test
    void isDoneInParallelWhenEveryRegionIs() {
        Play play = Play.of("""
                parallel p
                  on done.state.p do mark done
                  on done.state.a do mark a
                  on done.state.b do mark b
                  state a
                    state a1
                      on e -> fa
                    final fa
                  state b
                    state b1
                      on f -> fb
                    final fb
                """);
        play.log();
        assertThat(play.event("f").log()).isEqualTo("-b1 +fb mark:b");
        assertThat(play.event("e").log()).isEqualTo("-a1 +fa mark:a mark:done");
        Play together = Play.of("""
                parallel p
                  on done.state.p do mark done
                  state a
                    on e -> fa internal
                    state a1
                    final fa
                  state b
                    on e -> fb internal
                    state b1
                    final fb
                """);
        together.log();
        assertThat(together.event("e").log()).isEqualTo("-b1 -a1 +fa +fb mark:done");
    }

    /** 3.7.1 and appendix D, {@code exitInterpreter}: a final state at the top ends it all, from the innermost out. */
    @Test
    void endsWithAFinalStateAtTheTop() {
        Play play = Play.of("""
                state a rolling
                  exit send stop
                  on e -> end
                final end
                  enter mark end
                  exit mark gone
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("send:stop -a /take:1 +end mark:end mark:gone -end");
        assertThat(play.machine.isRunning()).isFalse();
        assertThat(play.event("e").log()).isEmpty();
        assertThat(play.interpreter.nextDeadline()).isEqualTo(Long.MAX_VALUE);
    }

    /** 3.12.1, assertion 399: whole tokens from the front; a star at the end adds nothing; a star alone matches all. */
    @Test
    void matchesEventsByTheirFirstTokens() {
        String descriptors = """
                state a
                  on %s do mark heard
                  on f.gh, fg
                """;
        assertThat(heard(descriptors.formatted("f"), "f")).isTrue();
        assertThat(heard(descriptors.formatted("f"), "f.g.h")).isTrue();
        assertThat(heard(descriptors.formatted("f.*"), "f")).isTrue();
        assertThat(heard(descriptors.formatted("f.g.*"), "f.g.h")).isTrue();
        assertThat(heard(descriptors.formatted("*"), "f.g.h")).isTrue();
        assertThat(heard(descriptors.formatted("e, f.g"), "f.g")).isTrue();
        assertThat(heard(descriptors.formatted("f"), "fg")).isFalse();
        assertThat(heard(descriptors.formatted("f.g"), "f.gh")).isFalse();
        assertThat(heard(descriptors.formatted("f.g"), "f")).isFalse();
    }

    private static boolean heard(String chart, String event) {
        Play play = Play.of(chart);
        play.log();
        return play.event(event).log().equals("mark:heard");
    }

    /** 3.13, assertion 419: eventless transitions come before internal events. */
    @Test
    void takesEventlessTransitionsBeforeInternalEvents() {
        Play play = Play.of("""
                state a
                  enter raise r
                  on r -> wrong
                  always -> b
                state b
                  on r -> c
                state c
                state wrong
                """);
        assertThat(play.innermost()).isEqualTo("c");
    }

    /** 3.13, assertion 421, and 4.2, assertion 144: internal events in their order, and all before the next from outside. */
    @Test
    void runsToCompletionBeforeTheNextEvent() {
        Play play = Play.of("""
                state a
                  on e -> b do raise one; raise unheard; raise two
                state b
                  on one -> c
                  on e -> wrong
                state c
                  on two -> d
                  on e -> wrong
                state d
                  on unheard -> wrong
                state wrong
                """);
        assertThat(play.event("e").innermost()).isEqualTo("d");
    }

    /** 3.12, 6.2, 6.3: a delayed event is cancelled when its state is left. */
    @Test
    void takesADelayedTransitionUnlessItsStateIsLeft() {
        String chart = """
                state a
                  on f -> b
                  always -> late after 4s
                state b
                  on f -> a
                state late
                """;
        assertThat(Play.of(chart).at("3999ms").innermost()).isEqualTo("a");
        assertThat(Play.of(chart).at("4s").innermost()).isEqualTo("late");
        assertThat(Play.of(chart).at("3s").event("f").at("10s").innermost()).isEqualTo("b");
        assertThat(Play.of(chart)
                        .at("3s")
                        .event("f")
                        .at("5s")
                        .event("f")
                        .at("8s")
                        .innermost())
                .isEqualTo("a");
        assertThat(Play.of(chart)
                        .at("3s")
                        .event("f")
                        .at("5s")
                        .event("f")
                        .at("9s")
                        .innermost())
                .isEqualTo("late");
    }

    /** The condition of an eventless one is asked when its time comes, that of one with an event at the event. */
    @Test
    void asksTheConditionOfADelayedTransitionWhereItBelongs() {
        String chart = """
                parallel p
                  state a
                    state a1
                      on e -> a2
                    state a2
                  state b
                    always if in(a2) -> b2 internal after 1s
                    on f if in(a1) after 1s do mark f
                    state b1
                    state b2
                """;
        assertThat(Play.of(chart).event("e").at("1s").innermost()).isEqualTo("a2 b2");
        assertThat(Play.of(chart).at("1s").innermost()).isEqualTo("a1 b1");
        assertThat(Play.of(chart).event("f").event("e").at("900ms").log()).doesNotContain("mark:f");
        assertThat(Play.of(chart).event("f").event("e").at("1s").log()).contains("mark:f");
        assertThat(Play.of(chart).event("e").event("f").at("1s").log()).doesNotContain("mark:f");
    }

    /** A delayed transition that is selected again counts from then. */
    @Test
    void countsADelayFromTheLastEvent() {
        Play play = Play.of("""
                state a
                  on e -> b after 1s
                state b
                """);
        assertThat(play.event("e").at("900ms").event("e").at("1800ms").innermost())
                .isEqualTo("a");
        assertThat(play.at("1900ms").innermost()).isEqualTo("b");
    }

    /** Nor does one begin to wait in a state that another region's transition leaves in the same step. */
    @Test
    void doesNotWaitInAStateThatIsLeftInTheSameStep() {
        Play play = Play.of("""
                parallel p
                  on e after 1s do mark late
                  state a
                    on e -> x
                  state b
                state x
                """);
        play.log();
        assertThat(play.event("e").at("10s").log()).isEqualTo("-b -a -p +x");
    }

    /** Appendix D has no remedy for a circle: the machine is set back to where it stood before the event. */
    @Test
    void isSetBackFromACircleToWhereItStood() {
        Play play = Play.of("""
                var n 0
                state home angle wide
                  on e -> a
                  on f -> c angle hands
                state a rolling
                  always if not in(c) -> b
                state b
                  always if not in(c) -> a do add n 1
                state c
                """);
        play.log();
        String log = play.event("e").log();
        assertThat(log).endsWith("fault -b +home").startsWith("-home take:1 +a -a /take:1 +b -b take:2 +a");
        assertThat(count(log, "+a ")).isBetween(80L, 120L);
        assertThat(play.active()).isEqualTo("home");
        assertThat(play.machine.value("n")).isEqualTo(0L);
        assertThat(play.onAir()).isEqualTo("wide");
        assertThat(play.event("f").innermost()).isEqualTo("c");
    }

    /** What was told of takes during the circle is told back, and no number is used twice. */
    @Test
    void tellsBackWhatWasToldOfACircle() {
        Play play = Play.of("""
                state home rolling
                  on e -> a
                state a rolling
                  always if not in(c) -> b
                state b
                  always if not in(c) -> a
                state c
                """);
        play.log();
        String log = play.event("e").log();
        assertThat(play.machine.isRolling()).isTrue();
        assertThat(count(log, "take:" + play.machine.take())).isEqualTo(1);
        assertThat(log).endsWith("take:" + play.machine.take() + " +home");
    }

    /** A circle from the first leaves the machine where it began. */
    @Test
    void staysWhereItBeganIfItRunsInACircleFromTheFirst() {
        Play play = Play.of("""
                state a
                  always if not in(c) -> b
                state b
                  always if not in(c) -> a
                  on e -> c
                state c
                """);
        assertThat(play.log()).contains("fault");
        assertThat(play.active()).isEqualTo("a");
    }

    private static long count(String log, String word) {
        return log.split(Pattern.quote(word), -1).length - 1L;
    }

    /** 200 states, 30 deep: nothing but size is asked of it. */
    @Test
    void runsTwoHundredStatesThirtyDeep() {
        StringBuilder text = new StringBuilder();
        for (int depth = 0; depth < 30; depth++) {
            String pad = "  ".repeat(depth);
            text.append(pad).append("state d").append(depth).append('\n');
            text.append(pad)
                    .append("  on e")
                    .append(depth)
                    .append(" -> x")
                    .append(depth)
                    .append('\n');
        }
        for (int i = 0; i < 170; i++) {
            text.append("state x").append(i).append("\n  on e -> d29\n");
        }
        Play play = Play.of(text.toString());
        assertThat(play.event("e29").innermost()).isEqualTo("x29");
        assertThat(play.event("e").innermost()).isEqualTo("d29");
        assertThat(play.event("e0").event("e").innermost()).isEqualTo("d29");
        assertThat(play.chart.stateCount()).isEqualTo(201);
    }
}
