package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.clock.CountUp;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.journal.Happening;
import instep.journal.Kind;
import instep.journal.Records;
import instep.rehearsal.Nobody;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

/** A take in which nobody moves: the journal still tells how far it has come. */
class SignOfLifeTest {
    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            angles: { wide: { reel: WIDE }, wheel: { reel: WHEEL } }
            pedals: { floor: { match: { usb: "1209:2303" }, contacts: { left: KEY_A, right: KEY_C } } }
            machine:
              initial: standby
              states:
                standby: { on: { right.press: rolling } }
                rolling: { rolling: true, angle: wide, on: { right.press: standby, left.press: { angle: wheel } } }
            """;

    private final List<Long> standing = new ArrayList<>();
    private long now = TimeUnit.HOURS.toNanos(1);

    private final class Noted implements Records {
        private long count;

        @Override
        public long append(long mono, long frame, Happening what) {
            if (what.kind() == Kind.STANDING) {
                standing.add(TimeUnit.NANOSECONDS.toSeconds(mono) - 3_600);
            }
            return count++;
        }

        @Override
        public void flush() {
            // All is told at once.
        }
    }

    private void press(Switchboard desk, int contact, int second) {
        now = TimeUnit.SECONDS.toNanos(3_600 + second);
        desk.pedals().edge(contact, true, false, now);
        now += TimeUnit.MILLISECONDS.toNanos(100);
        desk.pedals().edge(contact, false, false, now);
    }

    @Test
    void isGivenEveryTenSecondsOfATakeAndNeverBetweenTakes() throws Exception {
        Settings settings = ConfigReader.parse("lesson.yaml", MAPPING);
        Chronicle chronicle =
                new Chronicle(new Noted(), new CountUp(settings.timecode().start()), true, now);
        Switchboard desk = new Switchboard(settings, chronicle, new HeldTime(() -> now), listener -> new Nobody());
        desk.start(1, now, 0);
        press(desk, 1, 60);
        press(desk, 0, 75);
        press(desk, 1, 100);
        desk.settle(TimeUnit.SECONDS.toNanos(4_000));
        assertThat(standing).containsExactly(60L, 70L, 75L, 85L, 95L);
    }
}
