package instep.machine;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import net.jqwik.api.Assume;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.Size;

/** The machine against appendix D as it is written down there, on random charts without detours. */
class AppendixDProperties {
    @Property(tries = 600)
    void stepsAsTheAppendixDoes(@ForAll long seed, @ForAll @Size(20) List<Byte> dice) {
        String text = RandomChart.plain(seed);
        Chart chart = ChartText.of(text);
        Play play = Play.withTransitions(chart);
        AppendixD reference = new AppendixD(chart);
        try {
            reference.start();
            assertThat(play.log()).as(text).isEqualTo(reference.log());
            for (byte roll : dice) {
                String event = RandomChart.EVENTS.get(Math.floorMod(roll, RandomChart.EVENTS.size()));
                reference.event(event);
                assertThat(play.event(event).log()).as("%s at %s", text, event).isEqualTo(reference.log());
            }
        } catch (AppendixD.Circle circle) {
            Assume.that(false);
        }
    }
}
