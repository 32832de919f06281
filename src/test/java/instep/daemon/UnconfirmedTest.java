package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import org.junit.jupiter.api.Test;

/** The mixer is told of cuts, and the monitor only looks on; the lamp says nothing. Tickets are records; times are nanoseconds. */
class UnconfirmedTest {
    private static final int MIXER = 0;
    private static final int MONITOR = 1;
    private static final int LAMP = 2;
    private static final int WIDE = 0;
    private static final int WHEEL = 1;
    private static final int HANDS = 2;
    private static final long SECOND = 1_000_000_000L;
    private static final long NEVER = Unconfirmed.NEVER;

    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            gear:
              mixer: { tcp: 192.0.2.10:9701, confirm-within: 2s, replies: [{ line: "^ONAIR (?<angle>.+)$", on-air: "{angle}" }] }
              monitor: { tcp: 192.0.2.11:9701, replies: [{ line: "^ON (?<angle>.+)$", on-air: { "1": wide, "2": wheel } }] }
              lamp: { osc: udp 192.0.2.12:9703 }
            angles:
              wide:  { reel: WIDE,  cut: { mixer: "CUT 1" } }
              wheel: { reel: WHEEL, cut: { mixer: "CUT 2", lamp: { osc: /wheel } } }
              hands: { reel: HANDS, cut: { mixer: "CUT 3" } }
            machine: { states: { standby: } }
            """;

    private final Unconfirmed cuts;
    private int unreachable = -1;

    UnconfirmedTest() throws Exception {
        Settings settings = ConfigReader.parse("lesson.yaml", MAPPING);
        cuts = new Unconfirmed(settings, nanos -> nanos, gear -> gear != unreachable);
    }

    private void sent(int gear, long ticket, long at) {
        cuts.sent(gear, ticket, at);
    }

    @Test
    void givesEachGearItsTimeFromWhenTheCutWasSent() {
        cuts.asked(WHEEL, 11);
        assertThat(cuts.nextDeadline()).as("nothing was sent yet").isEqualTo(NEVER);
        sent(MIXER, 11, 5 * SECOND);
        assertThat(cuts.nextDeadline())
                .as("that of the monitor, who only looks on")
                .isEqualTo(6 * SECOND);
        assertThat(cuts.due(6 * SECOND - 1)).isEqualTo(-1);
        assertThat(cuts.due(6 * SECOND)).isEqualTo(MONITOR);
        assertThat(cuts.due(6 * SECOND)).as("told once").isEqualTo(-1);
        assertThat(cuts.due(7 * SECOND)).isEqualTo(MIXER);
        assertThat(cuts.awaits(MIXER, 11)).isTrue();
        assertThat(cuts.words(MIXER)).isEqualTo("it has not said within 2 s that wheel is on air: look at it");
        assertThat(cuts.awaits(LAMP, 11)).isFalse();
    }

    @Test
    void isContentWithGearThatSaysSo() {
        cuts.asked(WHEEL, 11);
        sent(MIXER, 11, 0);
        cuts.said(MIXER, WIDE);
        cuts.said(MONITOR, WHEEL);
        assertThat(cuts.awaits(MIXER, 11)).isTrue();
        cuts.said(MIXER, WHEEL);
        assertThat(cuts.awaits(MIXER, 11)).isFalse();
        assertThat(cuts.nextDeadline()).isEqualTo(NEVER);
    }

    @Test
    void asksForTheNewestCutOnly() {
        cuts.asked(WHEEL, 11);
        sent(MIXER, 11, 0);
        cuts.asked(WIDE, 12);
        assertThat(cuts.nextDeadline()).isEqualTo(NEVER);
        sent(MIXER, 11, 1);
        assertThat(cuts.nextDeadline()).as("of the one before it").isEqualTo(NEVER);
        sent(MIXER, 12, 2);
        assertThat(cuts.nextDeadline()).isEqualTo(2 + SECOND);
    }

    @Test
    void asksNothingOfGearThatHasNoWordForTheAngle() {
        cuts.asked(HANDS, 11);
        sent(MIXER, 11, 0);
        assertThat(cuts.awaits(MONITOR, 11)).isFalse();
        assertThat(cuts.nextDeadline()).isEqualTo(2 * SECOND);
    }

    @Test
    void asksNothingOfGearThatCannotBeReached() {
        cuts.asked(WHEEL, 11);
        unreachable = MONITOR;
        sent(MIXER, 11, 0);
        assertThat(cuts.nextDeadline()).isEqualTo(2 * SECOND);
        cuts.lost(MIXER);
        assertThat(cuts.nextDeadline()).isEqualTo(NEVER);
        cuts.asked(MIXER, WHEEL, 20);
        sent(MIXER, 20, 9 * SECOND);
        assertThat(cuts.nextDeadline()).as("told anew").isEqualTo(11 * SECOND);
    }

    @Test
    void goesOnWithGearThatIsTheSame() throws Exception {
        cuts.asked(WHEEL, 11);
        sent(MIXER, 11, 0);
        Unconfirmed other = new Unconfirmed(ConfigReader.parse("lesson.yaml", MAPPING), nanos -> nanos, gear -> true);
        other.goOnFrom(cuts, new int[] {0, -1, 2}, angle -> angle);
        assertThat(other.nextDeadline()).isEqualTo(2 * SECOND);
        assertThat(other.due(2 * SECOND)).isEqualTo(MIXER);
        Unconfirmed less = new Unconfirmed(ConfigReader.parse("lesson.yaml", MAPPING), nanos -> nanos, gear -> true);
        less.goOnFrom(cuts, new int[] {0, 1, 2}, angle -> -1);
        assertThat(less.nextDeadline()).as("the angle is gone").isEqualTo(NEVER);
    }
}
