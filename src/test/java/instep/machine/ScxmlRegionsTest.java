package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

/**
 * What W3C SCXML 1.0 asks of regions that are active together, of histories in them, and of events that find nobody; with its section and the number
 * of the assertion in the implementation report, as in {@link ScxmlTest}.
 */
class ScxmlRegionsTest {
    private static Play ready(String chart) {
        Play play = Play.of(chart);
        play.log();
        return play;
    }

    /** 3.13, assertions 404 to 406: content of several transitions in the order of the document, after all exits and before all entries. */
    @Test
    void doesTheContentOfAllRegionsBetweenExitsAndEntries() {
        Play play = ready("""
                parallel p
                  state a
                    state a1
                      exit mark leave-a
                      on e -> a2 do mark first
                    state a2
                      enter mark enter-a
                  state b
                    state b1
                      exit mark leave-b
                      on e -> b2 do mark second
                    state b2
                      enter mark enter-b
                """);
        assertThat(play.event("e").log())
                .isEqualTo("mark:leave-b -b1 mark:leave-a -a1 mark:first mark:second"
                        + " +a2 mark:enter-a +b2 mark:enter-b");
    }

    /** 3.13, assertion 403c: a transition without target leaves nothing, so that it neither pushes out another nor is pushed out. */
    @Test
    void letsATransitionWithoutTargetStandBesideOneThatLeavesAll() {
        Play play = ready("""
                parallel p
                  state a
                    on e do mark stays
                  state b
                    on e -> x
                  state c
                    on e -> y
                state x
                state y
                """);
        assertThat(play.event("e").log()).isEqualTo("-c -b -a -p mark:stays +x");
    }

    /** Appendix D, {@code removeConflictingTransitions}: what is pushed out by one that is pushed out itself later, stays out. */
    @Test
    void doesNotBringBackWhatWasPushedOut() {
        Play play = ready("""
                parallel p
                  on e -> x
                  state a
                  state b
                    on e -> y
                    state b1
                  state c
                    on e -> c2
                    state c1
                    state c2
                state x
                state y
                """);
        // p's is selected for a, b's pushes it out, and then stands against c's, which comes later.
        assertThat(play.event("e").innermost()).isEqualTo("y");
    }

    /** 3.10, assertion 388: of a parallel state, a shallow history remembers the regions, which are entered by default. */
    @Test
    void entersRegionsByDefaultFromAShallowHistoryOfAParallelState() {
        assertThat(visitedTwice("history")).isEqualTo("a1 b1");
    }

    /** 3.10, assertion 388: a deep one remembers what was active in every region. */
    @Test
    void entersWhatWasActiveInEveryRegionFromADeepHistoryOfAParallelState() {
        assertThat(visitedTwice("deep history")).isEqualTo("a2 b2");
    }

    private static String visitedTwice(String history) {
        return Play.of("""
                parallel p
                  on k -> away
                  state a
                    on e -> a2 internal
                    state a1
                    state a2
                  state b
                    on e -> b2 internal
                    state b1
                    state b2
                  %s h -> c
                  state c
                state away
                  on k -> h
                """.formatted(history))
                .event("e")
                .event("k")
                .event("k")
                .innermost()
                .replace(" c", "");
    }

    /** 3.10: a history stands for its region alone; the others are entered by default (3.4, assertion 576). */
    @Test
    void entersTheOtherRegionsByDefaultWhereAHistoryIsTheTarget() {
        Play play = Play.of("""
                parallel p
                  on k -> away
                  state a
                    on e -> a2 internal
                    state a1
                    state a2
                    history ha -> a1
                  state b
                    on e -> b2 internal
                    state b1
                    state b2
                state away
                  on k -> ha
                """).event("e").event("k");
        assertThat(play.event("k").innermost()).isEqualTo("a2 b1");
    }

    /** 3.10: what was remembered is a configuration, so that a history of a region may be left and remembered while the others stay. */
    @Test
    void remembersARegionWhichIsLeftWhileTheOthersStay() {
        Play play = Play.of("""
                parallel p
                  state a
                    state busy
                      on k -> idle
                      state a1
                        on e -> a2
                      state a2
                      deep history ha -> a1
                    state idle
                      on k -> ha
                  state b
                    on e -> b2 internal
                    state b1
                    state b2
                """).event("e");
        play.log();
        assertThat(play.event("k").event("k").log()).isEqualTo("-a2 -busy +idle -idle +busy +a2");
        assertThat(play.innermost()).isEqualTo("a2 b2");
    }

    /** 3.7.1, assertion 417: a parallel state within a region counts as done by its own regions. */
    @Test
    void isDoneInParallelThroughARegionThatIsParallelItself() {
        Play play = ready("""
                parallel outer
                  on done.state.outer do mark outer
                  parallel inner
                    on done.state.inner do mark inner
                    state a
                      on e -> fa internal
                      state a1
                      final fa
                    state b
                      on f -> fb internal
                      state b1
                      final fb
                  state c
                    on k -> fc internal
                    state c1
                    final fc
                """);
        assertThat(play.event("e").event("f").log()).isEqualTo("-a1 +fa -b1 +fb mark:inner");
        assertThat(play.event("k").log()).isEqualTo("-c1 +fc mark:outer");
    }

    /** 3.7.1: a region that leaves its final state is not done, and says so again when it is. */
    @Test
    void isDoneAgainAfterARegionWasNot() {
        Play play = ready("""
                parallel p
                  on done.state.p do mark done
                  state a
                    on e -> fa internal
                    on k -> a1 internal
                    state a1
                    final fa
                  state b
                    on f -> fb internal
                    state b1
                    final fb
                """);
        assertThat(play.event("e").event("k").event("f").log()).doesNotContain("mark:done");
        assertThat(play.event("e").log()).isEqualTo("-a1 +fa mark:done");
    }

    /** 3.13, assertion 423: an event from outside that nothing matches is dropped, not kept for later. */
    @Test
    void forgetsAnEventThatNothingMatches() {
        Play play = ready("""
                state a
                  on e -> b
                state b
                  on f -> c
                state c
                """);
        assertThat(play.event("f").event("e").innermost()).isEqualTo("b");
    }

    /** 3.13, assertion 421: what one region raises, another hears before the next event from outside. */
    @Test
    void letsRegionsTalkWithinOneEvent() {
        Play play = ready("""
                parallel p
                  state a
                    on e -> a2 internal do raise r
                    state a1
                    state a2
                      on s -> a3
                    state a3
                  state b
                    on r -> b2 internal do raise s
                    state b1
                    state b2
                """);
        assertThat(play.event("e").log()).isEqualTo("-a1 +a2 -b1 +b2 -a2 +a3");
    }

    /** 3.13: eventless transitions of all regions are one step, which sees what was active before it. */
    @Test
    void takesEventlessTransitionsOfAllRegionsInOneStep() {
        Play play = ready("""
                parallel p
                  state a
                    on e -> a2 internal
                    state a1
                    state a2
                      always if in(b1) -> a3
                    state a3
                  state b
                    state b1
                      always if in(a2) -> b2
                    state b2
                """);
        assertThat(play.event("e").log()).isEqualTo("-a1 +a2 -b1 -a2 +a3 +b2");
    }

    /** 6.2 and 6.3, assertion 208: of two delays that run, only that of the state which is left is cancelled. */
    @Test
    void cancelsTheDelayOfTheRegionThatIsLeftAlone() {
        Play play = ready("""
                parallel p
                  state a
                    state a1
                      on e -> a2
                      always after 1s do mark one
                    state a2
                  state b
                    always after 2s do mark two
                """);
        assertThat(play.event("e").at("3s").log()).isEqualTo("-a1 +a2 mark:two");
    }

    /** 3.12.1, assertion 399, in the words of its example: "error" and "foo" match by whole tokens. */
    @Test
    void matchesTheExampleOfTheSpecification() {
        for (String heard : new String[] {"error", "error.send", "error.send.failed", "foo", "foo.bar"}) {
            assertThat(listening(heard)).as(heard).isEqualTo("mark:heard");
        }
        for (String unheard : new String[] {"errors.my.custom", "errorhandler.mistake", "foobar"}) {
            assertThat(listening(unheard)).as(unheard).isEmpty();
        }
    }

    private static String listening(String event) {
        return ready("""
                state a
                  on error, foo do mark heard
                  on e -> b
                state b
                  on %s -> a
                """.formatted(event)).event(event).log();
    }
}
