package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.desk.Snapshot;
import instep.journal.GearFault;
import instep.journal.Happening;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Whether the page may say that an angle is on air follows from the records of the gear that cuts. */
class DeskOnAirTest {
    private DeskWatch watch;

    @BeforeEach
    void begin() throws Exception {
        watch = new DeskWatch(ConfigReader.read(Path.of("config-examples/pottery.yaml")), true, () -> 0);
    }

    private Snapshot see(Happening... records) {
        for (Happening record : records) {
            watch.saw(0, 900_000, record);
        }
        watch.caughtUp();
        return watch.latest();
    }

    @Test
    void saysWhatIsOnAirAndWhetherTheMixerSaysSo() {
        see(Happening.link("mixer", "up", null));
        assertThat(watch.latest().onAir()).isEqualTo(new Snapshot.OnAir("", "", ""));
        assertThat(see(Happening.cut("wide", null, 1, 1)).onAir())
                .isEqualTo(new Snapshot.OnAir("wide", "mixer has not said so yet", ""));
        assertThat(see(Happening.confirmed("mixer", "wide", 2, 9_000, false)).onAir())
                .isEqualTo(new Snapshot.OnAir("wide", "says mixer", ""));
        assertThat(see(Happening.link("mixer", "lost", "its cable is out")).onAir())
                .isEqualTo(new Snapshot.OnAir("wide", "said mixer before it was lost", "mixer cannot be reached"));
        see(Happening.cut("wheel", "wide", 3, 3));
        assertThat(see(Happening.confirmed("mixer", "wide", 2, 9_000, false))
                        .onAir()
                        .words())
                .isEqualTo("mixer has not said so yet");
        see(Happening.link("mixer", "up", null));
        assertThat(see(Happening.cutBy("glaze", "wheel", 4, "mixer")).onAir())
                .isEqualTo(new Snapshot.OnAir("glaze", "cut by somebody at mixer", ""));
    }

    private List<String> faults() {
        return watch.latest().faults().stream().map(Snapshot.Fault::what).toList();
    }

    private String doubt() {
        return watch.latest().onAir().doubt();
    }

    /** Another address is another mixer: what the one before said is no news of it. */
    @Test
    void knowsNothingOfGearThatIsConnectedAnew() throws Exception {
        see(
                Happening.link("mixer", "up", null),
                Happening.link("lamp", "up", null),
                Happening.cut("wide", null, 1, 1),
                Happening.confirmed("mixer", "wide", 2, 9_000, false));
        String text = Files.readString(Path.of("config-examples/pottery.yaml"));
        for (String other : List.of(text + "\n# the same", text.replace(":9701", ":9711"))) {
            watch.comes(ConfigReader.parse("pottery.yaml", other));
            see(Happening.reloaded("pottery.yaml", "", other, "gear 2 kept, 1 new, 1 let go"));
            assertThat(watch.latest().onAir())
                    .isEqualTo(
                            other.contains(":9711")
                                    ? new Snapshot.OnAir(
                                            "wide", "said mixer before it was lost", "mixer cannot be reached")
                                    : new Snapshot.OnAir("wide", "says mixer", ""));
        }
    }

    @Test
    void saysWhyTheAngleMayNotBeOnAirUntilNothingSpeaksAgainstIt() {
        see(Happening.cut("wide", null, 1, 1));
        assertThat(doubt()).isEqualTo("mixer cannot be reached");
        see(Happening.missed("mixer", "CUT 1", "it cannot be reached", 1));
        see(Happening.link("mixer", "up", null));
        assertThat(doubt()).isEqualTo("mixer was not told");
        // It is told anew, and says that it has heard; whether it has cut, only its word tells.
        see(Happening.sent("mixer", "CUT 1", 1, 400));
        assertThat(doubt()).isEqualTo("mixer was not told");
        see(Happening.confirmed("mixer", "wide", 1, 9_000, false));
        assertThat(doubt()).isEmpty();
        // Whatever else it was not told: it has said what is on air.
        see(Happening.missed("mixer", "LABEL", "it cannot be reached", 1));
        assertThat(doubt()).isEmpty();
        see(Happening.cut("wheel", "wide", 2, 2), GearFault.unconfirmed("mixer", "look at it", 2, "wheel"));
        assertThat(doubt()).isEqualTo("mixer does not say so");
        // The next cut is no better before it says so.
        see(Happening.cut("glaze", "wheel", 3, 3));
        assertThat(doubt()).isEqualTo("mixer does not say so");
        see(Happening.confirmed("mixer", "glaze", 3, 9_000, false));
        assertThat(doubt()).isEmpty();
        // What has nothing to do with cuts is in no doubt.
        see(Happening.link("lamp", "lost", "its cable is out"));
        assertThat(doubt()).isEmpty();
    }

    @Test
    void showsACutThatTheMixerDoesNotConfirmUntilItDoes() {
        Happening fault = GearFault.unconfirmed("mixer", "it has not said so within 1 s", 3, "wheel");
        see(Happening.link("mixer", "up", null), Happening.cut("wheel", "wide", 3, 3), fault);
        assertThat(faults()).containsExactly("mixer does not say that wheel is on air");
        see(Happening.reply("mixer", "OK CUT 2", 3), Happening.heeded("mixer", "ONAIR 1", -1, -1, null));
        assertThat(faults()).as("that is not what it should say").hasSize(1);
        see(Happening.confirmed("mixer", "wheel", 3, 1_200_000, false));
        assertThat(faults()).isEmpty();
        see(Happening.cut("glaze", "wheel", 5, 5), GearFault.unconfirmed("mixer", "it has not said so", 5, "glaze"));
        // Too late to count for the cut list, but it is so.
        assertThat(see(Happening.heeded("mixer", "ONAIR 4", -1, -1, null)).onAir())
                .isEqualTo(new Snapshot.OnAir("glaze", "says mixer", ""));
        assertThat(faults()).isEmpty();
        see(Happening.cut("wide", "glaze", 7, 7), GearFault.unconfirmed("mixer", "it has not said so", 7, "wide"));
        see(Happening.cutBy("wheel", "wide", 8, "mixer"));
        assertThat(faults()).isEmpty();
    }
}
