package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import instep.machine.MachineProperties.Step;
import java.util.ArrayList;
import java.util.List;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Assume;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;

/** A machine that goes on from where a killed one stood does what that one would have done. */
class ResumedProperties {
    private static final long MILLIS = 1_000_000L;
    /** All holds are held by then, and nothing waits for a second tap. */
    private static final long QUIET = 900 * MILLIS;

    @Provide
    Arbitrary<List<Step>> steps() {
        int happenings = ChartText.CONTACTS.size() + RandomChart.EVENTS.size() + 6;
        return Combinators.combine(
                        Arbitraries.integers().between(0, happenings - 1),
                        Arbitraries.of(true, false),
                        Arbitraries.of(0L, 5 * MILLIS, 20 * MILLIS, 100 * MILLIS, 300 * MILLIS, 700 * MILLIS))
                .as(Step::new)
                .list()
                .ofMinSize(5)
                .ofMaxSize(60);
    }

    private static Play played(String text, List<Step> steps) {
        Play play = Play.withTransitions(ChartText.of(text));
        steps.forEach(play::step);
        assumeSound(play);
        return play;
    }

    private static void letGo(Play play) {
        for (int contact = 0; contact < ChartText.CONTACTS.size(); contact++) {
            play.step(new Step(contact, false, 20 * MILLIS));
        }
        wait(play, false);
    }

    private static void wait(Play play, boolean closed) {
        play.step(new Step(0, closed, QUIET));
    }

    /** One that has come to its end, or was stopped in a circle, has nothing to go on with. */
    private static void assumeSound(Play play) {
        Assume.that(play.machine.isRunning() && !play.log().contains("fault"));
    }

    private static void checkGoesOnAlike(String text, Play killed, Play resumed, List<Step> later) {
        assertThat(resumed.active()).as(text).isEqualTo(killed.active());
        assertThat(resumed.onAir()).as(text).isEqualTo(killed.onAir());
        resumed.log();
        for (Step step : later) {
            String log = killed.step(step).log();
            Assume.that(!log.contains("fault"));
            assertThat(resumed.step(step).log()).as(text + later).isEqualTo(log);
        }
    }

    @Property(tries = 400)
    void goesOnAsIfItHadNotBeenKilled(
            @ForAll long seed, @ForAll("steps") List<Step> steps, @ForAll("steps") List<Step> later) {
        String text = RandomChart.withStayingDetours(seed);
        Play killed = played(text, steps);
        letGo(killed);
        assumeSound(killed);
        checkGoesOnAlike(text, killed, killed.resumed(killed.interpreter.standing()), later);
    }

    /** What the foot holds when it is killed is over when it goes on, and so it is where the foot lets go. */
    @Property(tries = 400)
    void goesOnAsIfTheFeetHadBeenLifted(
            @ForAll long seed, @ForAll("steps") List<Step> steps, @ForAll("steps") List<Step> later) {
        String text = RandomChart.withStayingDetours(seed).replaceAll("on \\*(?=[^\n]*)", "on k");
        List<Step> down = new ArrayList<>(steps);
        for (int contact = 0; contact < ChartText.CONTACTS.size(); contact++) {
            down.add(new Step(contact, true, QUIET));
        }
        Play killed = played(text, down);
        wait(killed, true);
        assumeSound(killed);
        Whereabouts standing = killed.interpreter.standing();
        letGo(killed);
        assumeSound(killed);
        checkGoesOnAlike(text, killed, killed.resumed(standing), later);
    }
}
