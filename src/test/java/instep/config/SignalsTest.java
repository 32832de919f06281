package instep.config;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gear.Payload;
import instep.gesture.Moves;
import instep.gesture.Scale;
import instep.gesture.Threshold;
import instep.gesture.Timing;
import instep.input.PedalSettings;
import instep.input.PedalSettings.Axis;
import instep.input.PedalSettings.Events;
import instep.input.PedalSettings.ReportBits;
import instep.input.PedalSettings.ReportUsage;
import instep.input.PedalSettings.Reports;
import instep.input.PedalSettings.WheelStep;
import instep.input.hid.Usage;
import instep.machine.Template;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;

@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class SignalsTest {
    private Settings settings;

    @BeforeAll
    void read() throws ConfigException {
        settings = ConfigReader.read(Path.of("src/test/resources/config/good/signals.yaml"));
    }

    // Codes: linux/input-event-codes.h
    @Test
    void readsAxesWithTheirThresholds() {
        Events floor = (Events) settings.pedals().get(0);
        assertThat(floor.grab()).isFalse();
        assertThat(floor.keys()).containsExactly(new PedalSettings.Key(0, 30));
        assertThat(floor.axes())
                .containsExactly(
                        new Axis(1, 2, new Threshold(0.625, 0.4), null),
                        new Axis(2, 5, Threshold.DEFAULT, null),
                        new Axis(3, 0x10, new Threshold(0.25, 0.4), null),
                        new Axis(4, 0, Threshold.DEFAULT, new Moves(1, new Scale(255, 0, 0), 33_333_334)),
                        new Axis(5, 1, Threshold.DEFAULT, new Moves(2, new Scale(-150, 100, 2), 40_000_000)));
    }

    @Test
    void aStepOfAWheelHasNoBounce() {
        Events floor = (Events) settings.pedals().get(0);
        assertThat(floor.steps()).containsExactly(new WheelStep(6, 7, true), new WheelStep(7, 7, false));
        Timing timing = settings.contacts().get(6).timing();
        assertThat(timing).isEqualTo(new Timing(0, Timing.DEFAULT.hold(), 200_000_000, 0));
    }

    @Test
    void readsUsagesAndBitsOfReports() {
        Reports box = (Reports) settings.pedals().get(1);
        int any = PedalSettings.ANY_REPORT;
        assertThat(box.usages())
                .containsExactly(
                        new ReportUsage(8, any, new Usage(9, 3), Threshold.DEFAULT, null),
                        new ReportUsage(9, 2, new Usage(0x0c, 0xe9), Threshold.DEFAULT, null),
                        new ReportUsage(
                                10,
                                any,
                                new Usage(0xff00, 1),
                                new Threshold(0.1, 0.05),
                                new Moves(3, Scale.PERCENT, Moves.USUAL_INTERVAL)));
        assertThat(box.bits())
                .containsExactly(
                        new ReportBits(11, any, 2, 8, 8),
                        new ReportBits(12, 7, 1, 0x0f, 0x05),
                        new ReportBits(13, any, 3, 1, 0),
                        new ReportBits(14, any, 3, 6, 6));
    }

    @Test
    void theValueIsPartOfWhatIsSent() {
        assertThat(settings.messages().get(1).steps().get(0).payload())
                .isEqualTo(new Payload.Text(Template.parse("IRIS {value}")));
        assertThat(settings.messages().get(2).steps().get(0).payload())
                .isEqualTo(new Payload.Osc(
                        Template.parse("/light"),
                        List.of(
                                new Payload.Argument.Numeric('f', Template.parse("{value}")),
                                new Payload.Argument.Text(Template.parse("{angle}")))));
    }
}
