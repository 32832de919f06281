package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What no foot does, and what a slip in a mapping does: a clear result each. */
class BadInputTest {
    private static final String LESSON = """
            state rolling angle wide
              on left.press angle wheel until left.release
              on right.tap do mark tapped
              on right.double-tap do mark retake
            """;

    private static Play ready(String chart) {
        Play play = Play.of(chart);
        play.log();
        return play;
    }

    /** It is a bug of whoever tells it; that it is refused leaves the core as it was. */
    @Test
    void refusesAContactThatThereIsNotAndGoesOn() {
        Play play = ready(LESSON);
        play.down("left");
        for (int contact : new int[] {4, -1, Integer.MAX_VALUE}) {
            assertThatThrownBy(() -> play.interpreter.edge(contact, true, false, 5_000_000_000L))
                    .isInstanceOf(IndexOutOfBoundsException.class)
                    .hasMessageContaining("for length 4");
        }
        assertThat(play.interpreter.nextDeadline()).as("no time has passed").isEqualTo(510_000_000L);
        assertThat(play.up("left").log()).isEqualTo("cut:wheel cut:wide");
    }

    @Test
    void refusesAnEventThatThereIsNotAndGoesOn() {
        Play play = ready(LESSON);
        play.down("left");
        for (int event : new int[] {-2, 10_000, Integer.MAX_VALUE}) {
            assertThatThrownBy(() -> play.interpreter.event(event, 5_000_000_000L))
                    .isInstanceOf(IndexOutOfBoundsException.class);
        }
        play.interpreter.event(-1, 20_000_000L);
        assertThat(play.up("left").log()).isEqualTo("cut:wheel cut:wide");
    }

    @Test
    void endsNothingWithAPedalUnitThatThereIsNot() {
        Play play = ready(LESSON);
        assertThat(play.down("left").lose("attic").log()).isEqualTo("cut:wheel");
    }

    /** The kernel's clock starts at boot and never gets there, but a journal from elsewhere may say anything. */
    @ParameterizedTest
    @ValueSource(longs = {Long.MIN_VALUE, -1, 0, Long.MAX_VALUE - 600_000_000L, Long.MAX_VALUE - 1, Long.MAX_VALUE})
    void comesToRestAtAnyTimeThereIs(long nanos) {
        Play play = ready(LESSON + """
                  on left+middle.press angle hands until 1s
                  on left.hold angle glaze until left.hold-end after 1s
                """);
        for (int contact = 0; contact < 4; contact++) {
            play.interpreter.edge(contact, true, false, nanos);
            play.interpreter.edge(contact, false, false, nanos);
        }
        play.interpreter.advanceTo(Long.MAX_VALUE);
        play.interpreter.pedalLost("floor", Long.MAX_VALUE);
        assertThat(play.interpreter.nextDeadline()).isEqualTo(Long.MAX_VALUE);
        assertThat(play.machine.openDetours()).isZero();
        assertThat(play.onAir()).isEqualTo("wide");
    }

    /** Eventless transitions that are each delayed by nothing are a circle that time cannot get out of. */
    @Test
    void isStoppedInACircleOfDelaysOfNothing() {
        Play play = ready("""
                state home angle wide
                  on e -> a
                state a
                  always -> b after 0s
                  on f -> c
                state b
                  always -> a after 0s
                  on f -> c
                state c angle hands
                  always -> home after 1s
                """);
        assertThat(play.event("e").at("1s").log()).endsWith("fault").containsOnlyOnce("fault");
        assertThat(play.interpreter.nextDeadline()).isEqualTo(Long.MAX_VALUE);
        assertThat(play.event("f").innermost()).as("it can be led out").isEqualTo("c");
        assertThat(play.at("2s").innermost()).as("and time goes on").isEqualTo("home");
    }

    /** The same with a detour that ends as soon as it begins, and begins anew as soon as it has ended. */
    @Test
    void isStoppedInACircleOfDetoursOfNoLength() {
        Play play = ready("""
                state home
                  on e -> a
                state a
                  always if not in(home) -> b until 0s
                  on f -> home
                state b
                  on f -> home
                """);
        assertThat(play.event("e").at("1s").log()).endsWith("fault").containsOnlyOnce("fault");
        assertThat(play.interpreter.nextDeadline()).isEqualTo(Long.MAX_VALUE);
        assertThat(play.event("f").innermost()).isEqualTo("home");
    }

    /** Delays that do take time, however little, are no circle. */
    @Test
    void goesOnAsLongAsTimePasses() {
        Play play = ready("""
                var n 0
                state a
                  always -> b after 1ms
                state b
                  always -> a after 1ms do add n 1
                """);
        assertThat(play.at("10s").log()).doesNotContain("fault");
        assertThat(play.machine.value("n")).isEqualTo(5_000L);
    }

    /** As many as the chart has may be due at once. */
    @Test
    void takesAllThatIsDueAtOneInstant() {
        StringBuilder text = new StringBuilder("parallel p\n");
        for (int region = 0; region < 300; region++) {
            text.append("  state r").append(region).append("\n    always after 1s do mark due\n");
        }
        Play play = ready(text.toString());
        assertThat(play.at("1s").log().split(" ")).hasSize(300).containsOnly("mark:due");
    }

    /** Events that raise one another are a circle, too. */
    @Test
    void isSetBackFromACircleOfRaisedEvents() {
        Play play = ready("""
                state a angle wide
                  on e -> b do raise ping
                state b angle hands
                  on ping do raise pong
                  on pong do raise ping
                """);
        assertThat(play.event("e").log()).endsWith("fault -b +a");
        assertThat(play.onAir()).isEqualTo("wide");
        assertThat(play.event("e").log()).as("nothing is left in the queue").endsWith("fault -b +a");
    }
}
