package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

/** Histories: W3C SCXML 1.0, section 3.10, with the numbers of its assertions. */
class HistoryTest {
    private static final String CHART = """
            state away
              on e -> shallow
              on f -> deep
            state home
              on k -> away
              state a
                state a1
                  on go -> a2
                state a2
                  on go -> b2
              state b
                state b1
                state b2
              history shallow -> b
              deep history deep -> b2
            """;

    /** 3.10, assertion 387: nothing to remember yet. */
    @Test
    void entersItsDefaultBeforeThereIsAnythingToRemember() {
        assertThat(Play.of(CHART).event("e").innermost()).isEqualTo("b1");
        assertThat(Play.of(CHART).event("f").innermost()).isEqualTo("b2");
    }

    /** 3.10, assertion 388: a shallow history remembers the child, a deep one all. */
    @Test
    void remembersTheChildOrAllThatWasActive() {
        String inside = CHART.replace("on e -> shallow", "on e -> shallow\n  on f.g -> a2");
        assertThat(Play.of(inside).event("f.g").event("k").event("e").innermost())
                .isEqualTo("a1");
        assertThat(Play.of(inside).event("f.g").event("k").event("f").innermost())
                .isEqualTo("a2");
    }

    /** 3.10: what was last, not what was first. */
    @Test
    void remembersAnewEachTimeItsStateIsLeft() {
        String inside = CHART.replace("on e -> shallow", "on e -> shallow\n  on f.g -> a1");
        Play play = Play.of(inside)
                .event("f.g")
                .event("k")
                .event("f")
                .event("go")
                .event("k")
                .event("f");
        assertThat(play.innermost()).isEqualTo("a2");
        assertThat(play.event("go").event("k").event("f").innermost()).isEqualTo("b2");
    }

    /** 3.10: in every region. */
    @Test
    void remembersEveryRegion() {
        Play play = Play.of("""
                state home
                  on k -> away
                  parallel p
                    state a
                      on e -> a2 internal
                      state a1
                      state a2
                    state b
                      on f -> b2 internal
                      state b1
                      state b2
                  deep history deep -> p
                state away
                  on k -> deep
                """);
        assertThat(play.event("k").event("k").innermost()).isEqualTo("a1 b1");
        assertThat(play.event("f").event("k").event("k").innermost()).isEqualTo("a1 b2");
        assertThat(play.event("e").event("k").event("k").innermost()).isEqualTo("a2 b2");
    }

    /** 3.10, assertion 580: a history is never active itself. */
    @Test
    void isNeverActive() {
        Play play = Play.of(CHART).event("e");
        assertThat(play.active()).isEqualTo("home b b1");
    }

    /** 3.6 with 3.10: the initial state may be a history. */
    @Test
    void canBeTheInitialState() {
        Play play = Play.of("""
                state home initial last
                  on k -> away
                  history last -> a
                  state a
                    on e -> b
                  state b
                state away
                  on k -> home
                """);
        assertThat(play.innermost()).isEqualTo("a");
        assertThat(play.event("e").event("k").event("k").innermost()).isEqualTo("b");
    }

    /** An angle that a transition to a history brings lasts as long as the state around the history. */
    @Test
    void carriesTheAngleOfATransitionToIt() {
        Play play = Play.of(CHART.replace("on e -> shallow", "on e -> shallow angle hands"));
        assertThat(play.event("e").onAir()).isEqualTo("hands");
    }
}
