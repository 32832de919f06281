package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

/** Values, conditions and templates. */
class ValuesTest {
    @Test
    void countsWithinBounds() {
        Play play = Play.of("""
                var iris 3 0 5
                state a
                  on e do add iris 2
                  on f do add iris -4
                """);
        assertThat(play.machine.value("iris")).isEqualTo(3L);
        assertThat(play.event("e").machine.value("iris")).isEqualTo(5L);
        assertThat(play.event("e").machine.value("iris")).isEqualTo(5L);
        assertThat(play.event("f").machine.value("iris")).isEqualTo(1L);
        assertThat(play.event("f").machine.value("iris")).isEqualTo(0L);
    }

    @Test
    void doesNotCountOverTheEndOfItsNumbers() {
        assertThat(Variable.of("n", 0L).sum(Long.MAX_VALUE, 1)).isEqualTo(Long.MAX_VALUE);
        assertThat(Variable.of("n", 0L).sum(Long.MIN_VALUE, -1)).isEqualTo(Long.MIN_VALUE);
        assertThat(new Variable("n", 0L, -5, 5).sum(Long.MIN_VALUE, -1)).isEqualTo(-5);
    }

    @Test
    void setsConstantsAndText() {
        Play play = Play.of("""
                var on false
                var name -
                state a angle wide
                  on e angle hands do text name {angle} of {take}; set on true
                """);
        play.event("e");
        assertThat(play.machine.value("on")).isEqualTo(true);
        assertThat(play.machine.value("name")).as("the angle before the step").isEqualTo("wide of 0");
        assertThat(play.machine.value("angle")).isEqualTo("hands");
        assertThat(play.machine.value("nothing")).isNull();
    }

    @Test
    void asksStructuralConditions() {
        String chart = """
                var n 2
                state a
                  on e if %s do mark yes
                """;
        assertThat(holds(chart, "n = 2")).isTrue();
        assertThat(holds(chart, "n = 3")).isFalse();
        assertThat(holds(chart, "n > 1")).isTrue();
        assertThat(holds(chart, "n > 2")).isFalse();
        assertThat(holds(chart, "n < 3")).isTrue();
        assertThat(holds(chart, "n < 2")).isFalse();
        assertThat(holds(chart, "not n = 2")).isFalse();
        assertThat(holds(chart, "n = 2 and in(a)")).isTrue();
        assertThat(holds(chart, "n = 2 and not in(a)")).isFalse();
        assertThat(holds(chart, "n = 3 or in(a)")).isTrue();
        assertThat(holds(chart, "n = 3 or not in(a)")).isFalse();
        assertThat(holds(chart, "mixer = up")).isTrue();
        assertThat(holds(chart, "mixer = down")).isFalse();
        assertThat(holds(chart, "take < 1")).isTrue();
    }

    private static boolean holds(String chart, String cond) {
        Play play = Play.of(chart.formatted(cond));
        play.log();
        return play.event("e").log().equals("mark:yes");
    }

    @Test
    void countsTakesAndChapters() {
        Play play = Play.of("""
                state standby
                  on e -> first
                state first rolling
                  on e -> second
                  on f -> standby
                  on k do mark chapter step {chapter} of take {take}
                state second rolling
                  on e -> standby
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("-standby take:1 +first");
        assertThat(play.event("k").event("k").log())
                .isEqualTo("mark:chapter:step 1 of take 1 mark:chapter:step 2 of take 1");
        assertThat(play.event("e").log())
                .as("no state that rolls is active between")
                .isEqualTo("-first /take:1 take:2 +second");
        assertThat(play.event("e").event("e").event("k").log())
                .isEqualTo("-second /take:2 +standby -standby take:3 +first mark:chapter:step 1 of take 3");
        assertThat(play.machine.isRolling()).isTrue();
    }

    @Test
    void keepsOneTakeOpenWhileAnyStateRolls() {
        Play play = Play.of("""
                parallel p
                  state a
                    state a1 rolling
                      on e -> a2
                    state a2
                      on e -> a1
                  state b
                    state b1
                      on f -> b2
                    state b2 rolling
                      on k -> b1
                """);
        assertThat(play.log()).contains("take:1 +a1");
        assertThat(play.event("f").event("e").log()).doesNotContain("take");
        assertThat(play.event("k").log()).contains("/take:1");
        assertThat(play.event("e").log()).contains("take:2");
    }

    @Test
    void countsTakesOnFromThoseBefore() {
        Play play = Play.notBegun("""
                state a rolling
                """);
        play.machine.countTakesFrom(41);
        play.interpreter.start(0);
        assertThat(play.log()).isEqualTo("take:42 +a");
    }

    @Test
    void opensANewTakeWhenTheRollingStateIsEnteredAnew() {
        Play play = Play.of("""
                state a rolling
                  on e -> a
                """);
        play.log();
        assertThat(play.event("e").log()).isEqualTo("-a /take:1 take:2 +a");
    }
}
