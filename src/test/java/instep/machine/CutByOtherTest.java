package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

/** What is on air after somebody else has cut: the newest act that stands, as docs/language.md has it. */
class CutByOtherTest {
    private static final String LESSON = """
            state standby
              on right.hold -> rolling
            state rolling angle wide rolling
              on left.press angle wheel until left.release
              on middle.press angle hands
              on red.press -> close until red.release
              on right.hold -> standby
            state close angle hands rolling
            """;

    private static Play rolling() {
        Play play = Play.of(LESSON);
        play.down("right").at("1s").up("right").log();
        assertThat(play.onAir()).isEqualTo("wide");
        return play;
    }

    @Test
    void followsWithoutCuttingItself() {
        Play play = rolling().other("glaze");
        assertThat(play.log()).isEmpty();
        assertThat(play.onAir()).isEqualTo("glaze");
        assertThat(play.machine.value("angle")).isEqualTo("glaze");
    }

    @Test
    void staysWhenADetourEndsThatBeganBefore() {
        Play play = rolling().down("left").other("glaze");
        play.log();
        assertThat(play.up("left").log()).isEmpty();
        assertThat(play.onAir()).isEqualTo("glaze");
    }

    @Test
    void comesBackWhenADetourEndsThatBeganAfter() {
        assertThat(rolling().other("glaze").down("left").up("left").log()).isEqualTo("cut:wheel cut:glaze");
    }

    @Test
    void comesBackWhenADetourToAnotherStateEnds() {
        Play play = rolling().other("glaze");
        assertThat(play.down("red").log()).contains("cut:hands");
        assertThat(play.up("red").log()).contains("cut:glaze").doesNotContain("cut:wide");
    }

    @Test
    void staysWhenADetourToAnotherStateEndsThatBeganBefore() {
        Play play = rolling().down("red").other("glaze");
        play.log();
        assertThat(play.up("red").log()).doesNotContain("cut");
        assertThat(play.onAir()).isEqualTo("glaze");
    }

    @Test
    void isOverAtTheNextCutThatIsNoDetour() {
        Play play = rolling().other("glaze").down("middle");
        assertThat(play.log()).isEqualTo("cut:hands");
        play.up("middle");
        assertThat(play.down("left").up("left").log()).isEqualTo("cut:wheel cut:hands");
    }

    @Test
    void doesNotComeBackInALaterTake() {
        Play play = rolling().other("glaze");
        assertThat(play.down("right").at("3s").up("right").log()).doesNotContain("cut");
        assertThat(play.down("right").at("5s").up("right").log()).contains("cut:wide");
        assertThat(play.down("right").at("7s").up("right").log()).doesNotContain("cut");
    }

    @Test
    void doesNotComeBackWhenTheTakeEndsInADetour() {
        Play play = rolling().other("glaze").down("left");
        assertThat(play.log()).isEqualTo("cut:wheel");
        assertThat(play.down("right").at("3s").log()).doesNotContain("cut");
        assertThat(play.up("left").log()).doesNotContain("cut");
    }

    @Test
    void countsWhereTheMachineItselfHasNothingOnAir() {
        Play play = Play.of(LESSON);
        play.log();
        play.other("wheel");
        assertThat(play.log()).isEmpty();
        assertThat(play.onAir()).isEqualTo("wheel");
        assertThat(play.down("right").at("1s").log()).contains("cut:wide");
    }
}
