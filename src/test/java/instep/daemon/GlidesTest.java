package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gesture.Moves;
import instep.gesture.Recognizer;
import instep.gesture.Scale;
import instep.gesture.Threshold;
import instep.input.DeviceMatch;
import instep.input.PedalSettings;
import instep.input.hid.Usage;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class GlidesTest {
    private static final DeviceMatch ANY = new DeviceMatch(null, null, null, null, null, 1);

    private final List<String> told = new ArrayList<>();
    private final Glides glides = new Glides(
            List.of(
                    new PedalSettings.Events(
                            "floor",
                            ANY,
                            true,
                            List.of(),
                            List.of(
                                    new PedalSettings.Axis(0, 2, Threshold.DEFAULT, null),
                                    new PedalSettings.Axis(1, 2, Threshold.DEFAULT, new Moves(4, Scale.PERCENT, 40))),
                            List.of()),
                    new PedalSettings.Reports(
                            "box",
                            ANY,
                            List.of(),
                            List.of(new PedalSettings.ReportUsage(
                                    2,
                                    PedalSettings.ANY_REPORT,
                                    new Usage(1, 0x30),
                                    Threshold.DEFAULT,
                                    new Moves(5, new Scale(0, 10, 1), 100))))),
            (contact, message, text, at) -> told.add(contact + " message " + message + ": " + text + " at " + at));

    @Test
    void thinsOutTheMovesOfEachContactByItself() {
        glides.moved(0, 0.1, 1000);
        glides.moved(1, 0.1, 1000);
        glides.moved(2, 0.1, 1010);
        glides.moved(1, 0.2, 1020);
        glides.moved(2, 0.2, 1020);
        assertThat(told).containsExactly("1 message 4: 10 at 1000", "2 message 5: 0.1 at 1010");
        assertThat(glides.nextDeadline()).isEqualTo(1040);
        glides.advanceTo(1040);
        assertThat(glides.nextDeadline()).isEqualTo(1110);
        glides.advanceTo(2000);
        assertThat(told.subList(2, 4)).containsExactly("1 message 4: 20 at 1040", "2 message 5: 0.2 at 1110");
        assertThat(glides.nextDeadline()).isEqualTo(Recognizer.NEVER);
    }
}
