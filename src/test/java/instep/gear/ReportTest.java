package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class ReportTest {
    private final Told told = new Told();
    private final Report report = new Report(told, 0);

    @Test
    void tellsEachReasonOnceInAnOutage() {
        report.lost("no way");
        report.lost("no answer");
        report.lost("no way");
        report.up("connected");
        report.up("connected");
        report.lost("no way");

        assertThat(told.lines).containsExactly("0 LOST no way", "0 LOST no answer", "0 UP connected", "0 LOST no way");
    }

    @Test
    void knowsTheLastReasonEvenWhenItWasToldBefore() {
        report.lost("no way");
        report.lost("no answer");
        report.lost("no way");

        assertThat(report.lostWhy()).isEqualTo("no way");
        assertThat(report.isUp()).isFalse();
    }

    @Test
    void stopsTellingAtSomePointWhenReasonsNeverRepeat() {
        for (int i = 0; i < 1_000; i++) {
            report.lost("reason " + i);
        }

        assertThat(told.lines).hasSize(8);
    }
}
