package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What does not hold together is refused, with all faults and where they are. */
class ChartFaultsTest {
    private static List<String> faults(String text) {
        try {
            ChartText.compile(text);
            return List.of();
        } catch (InvalidChartException e) {
            return e.faults().stream()
                    .map(fault -> fault.place().line() + ":" + fault.place().column() + " " + fault.text())
                    .toList();
        }
    }

    @Test
    void namesEveryFaultInTheOrderOfTheDocument() {
        assertThat(faults("""
                state a initial nowhere
                  enter send shout
                  on unknown -> b
                  on e if in(c) -> d
                state a
                """))
                .containsExactly(
                        "1:1 'a' begins in 'nowhere', which is no state inside it",
                        "1:1 there is no message 'shout'",
                        "3:3 there is no state 'b'",
                        "3:3 nothing raises an event 'unknown'",
                        "4:3 there is no state 'd'",
                        "4:3 the condition asks for a state 'c', which there is not",
                        "5:1 the state name 'a' is taken: see chart:1:1");
    }

    @Test
    void refusesTargetsThatCannotBeActiveTogether() {
        assertThat(faults("""
                state a
                  on e -> b c
                state b
                state c
                """)).containsExactly("2:3 'b' and 'c' cannot be active together");
        assertThat(faults("""
                state a
                  on e -> p b
                parallel p
                  state b
                  state c
                """)).containsExactly("2:3 'p' and 'b' cannot be active together");
    }

    @Test
    void refusesHistoriesThatLeadBackToThemselves() {
        assertThat(faults("""
                state a
                  state b
                  history h1 -> h2
                  history h2 -> h1
                  history h3 -> h1
                """))
                .containsExactly(
                        "3:3 the history 'h1' leads back to itself when there is nothing to remember",
                        "4:3 the history 'h2' leads back to itself when there is nothing to remember");
    }

    @Test
    void refusesAHistoryWithoutASoundDefault() {
        assertThat(faults("""
                state a
                  state b
                  history h1
                  history h2 -> c
                  history h3 -> h3
                state c
                """)).hasSize(3).allMatch(fault -> fault.contains("needs one target beside it"));
    }

    @Test
    void refusesStatesThatCannotBeWhatTheyAre() {
        assertThat(faults("""
                parallel p
                state a
                  history h -> p
                final f1
                  on e -> a
                parallel q initial r1
                  state r1
                  final f2
                """))
                .containsExactly(
                        "1:1 the parallel state 'p' has no states inside",
                        "2:1 'a' holds a history but no state to remember",
                        "3:3 the history 'h' needs one target beside it, to enter when there is nothing to remember yet",
                        "4:1 the final state 'f1' can hold neither states nor transitions",
                        "6:1 the parallel state 'q' begins in all of its states, so that it has no initial",
                        "8:3 the final state 'f2' cannot be a region of a parallel state by itself");
    }

    @Test
    void refusesADetourToNowhereAndUnknownAngles() {
        assertThat(faults("""
                state a angle roof
                  on e until f
                  on f angle floor
                """))
                .containsExactly(
                        "1:1 there is no angle 'roof'",
                        "2:3 a detour needs an angle or a target to go to",
                        "3:3 there is no angle 'floor'");
    }

    @Test
    void knowsTheEventsOfStatesThatExistAndOfRaisedPrefixes() {
        assertThat(faults("""
                state a
                  enter raise shout.loud
                  on done.state.a -> a
                  on done.state -> a
                  on unknown -> a
                  on done.state.b -> a
                """))
                .containsExactly("5:3 nothing raises an event 'unknown'", "6:3 nothing raises an event 'done.state.b'");
    }

    @ParameterizedTest
    @ValueSource(strings = {"""
                state a
                  always -> b
                state b
                  always -> a
                """, """
                state a
                  state x
                    always -> b
                state b
                  always -> a
                """, """
                state a
                  always do mark here
                """, """
                state a
                  always -> a
                """, """
                state start
                  on e -> a
                state a
                  always -> c
                state b
                  state c
                    always -> d
                  state d
                  always -> a
                """})
    void refusesEventlessCirclesThatAreCertain(String chart) {
        assertThat(faults(chart)).hasSize(1).allMatch(fault -> fault.contains("runs in a circle without end"));
    }

    @ParameterizedTest
    @ValueSource(strings = {"""
                state a
                  always if in(b) -> b
                state b
                  always -> a
                """, """
                state a
                  always -> b after 1s
                state b
                  always -> a
                """, """
                state a
                  always if mixer = up -> c
                  always -> b
                state b
                  always -> a
                state c
                """, """
                parallel p
                  state a
                    always -> a2
                    state a1
                    state a2
                  state b
                    always if in(a2) -> c
                state c
                """, """
                state a
                  always -> end
                final end
                """})
    void allowsEventlessTransitionsThatMayComeToRest(String chart) {
        assertThat(faults(chart)).isEmpty();
    }

    @Test
    void refusesValuesThatThereAreNot() {
        assertThat(faults("""
                var n 0 0 5
                var on true
                var name x
                state a
                  enter set m 1
                  exit set take 1
                  on e if m = 1 -> a
                  on e if name > 1 -> a
                  on e if n = 6 -> a
                  on e if on = 1 -> a
                  on e if mixer = up -> a
                  on e if take > 3 -> a
                  on e -> a do add on 1; set n 6; set name 1; text n {take}; set mixer up
                  on e -> a do text name {take}{nothing}; mark retake {angle} {other}
                """))
                .containsExactly(
                        "4:1 there is no variable 'm' to set",
                        "4:1 'take' can be read but not set",
                        "7:3 the condition asks for a value 'm', which there is not",
                        "8:3 'name' is no number, so that it is neither above nor below one",
                        "9:3 'n' is never 6: it is a whole number from 0 to 5",
                        "10:3 'on' is never 1: it is true or false",
                        "13:3 'on' cannot be counted up or down: it is true or false",
                        "13:3 'n' cannot become 6: it is a whole number from 0 to 5",
                        "13:3 'name' cannot become 1: it is text",
                        "13:3 'n' cannot become text: it is a whole number from 0 to 5",
                        "13:3 'mixer' can be read but not set",
                        "14:3 there is no value 'nothing' to fill in",
                        "14:3 there is no value 'other' to fill in");
    }

    @Test
    void refusesVariablesWithNamesThatAreTaken() {
        assertThat(faults("var take 0\nvar mixer 0\nvar n 0\nvar n 1\nstate a\n"))
                .containsExactly(
                        "0:1 the name 'take' has a value already: choose another for the variable",
                        "0:1 the name 'mixer' has a value already: choose another for the variable",
                        "0:1 there are two variables 'n'");
    }

    @Test
    void refusesVariablesThatBeginOutsideOfTheirBounds() {
        assertThatThrownBy(() -> new Variable("n", 6L, 0, 5)).hasMessageContaining("'n' begins at 6");
        assertThatThrownBy(() -> new Variable("n", 3L, 5, 0)).hasMessageContaining("min above its max");
        assertThatThrownBy(() -> Variable.of("n", 1.5)).hasMessageContaining("no whole number");
    }
}
