package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.clock.CountUp;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.gear.Crew;
import instep.gear.Message;
import instep.journal.Happening;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.Records;
import instep.machine.Values;
import java.util.ArrayList;
import java.util.List;
import java.util.function.LongPredicate;
import org.junit.jupiter.api.Test;

class StallsTest {
    private static final long MILLI = 1_000_000L;

    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            gear: { mixer: { tcp: 192.0.2.10:9701 } }
            angles:
              wide:  { reel: WIDE,  cut: { mixer: "CUT 1" } }
              wheel: { reel: WHEEL, cut: { mixer: "CUT 2" } }
            pedals: { floor: { match: { usb: "1209:2303" }, contacts: { left: KEY_A } } }
            machine:
              initial: standby
              states: { standby: { angle: wide, on: { left.press: { angle: wheel, until: left.release } } } }
            """;

    private final List<String> told = new ArrayList<>();
    private long now = 10_000 * MILLI;
    /** How many milliseconds the gear takes to be told something. */
    private long slowness;

    private final Stalls stalls = new Stalls(new HeldTime(() -> now), told::add);

    private void turn(long takes, long expected) {
        stalls.begin(Stalls.Turn.LINK, "mixer", expected);
        now += takes * MILLI;
        stalls.end();
    }

    @Test
    void tellsATurnThatTookLongerThanAFrame() {
        turn(50, Long.MIN_VALUE);
        assertThat(told).isEmpty();
        turn(51, Long.MIN_VALUE);
        assertThat(told).containsExactly("Instep stood still for 51 ms in the link to mixer");
    }

    @Test
    void tellsATurnThatBeganLate() {
        turn(1, now - 50 * MILLI);
        assertThat(told).isEmpty();
        turn(1, now - 120 * MILLI);
        assertThat(told).singleElement().asString().startsWith("Instep came 120 ms late to the link to mixer:");
    }

    @Test
    void tellsNoMoreThanOneASecond() {
        turn(400, Long.MIN_VALUE);
        turn(400, Long.MIN_VALUE);
        turn(400, Long.MIN_VALUE);
        assertThat(told).hasSize(1);
        turn(401, Long.MIN_VALUE);
        assertThat(told).hasSize(2);
    }

    @Test
    void anEdgeThatIsStampedAheadIsNotLate() {
        turn(1, now + 3_600_000 * MILLI);
        assertThat(told).isEmpty();
    }

    /** The gear takes its time within the turn; the clock is the test's own. */
    @Test
    void theJournalTellsWhatRanWhenAStepOfTheDeskTookLongerThanAFrame() throws Exception {
        Settings settings = ConfigReader.parse("lesson.yaml", MAPPING);
        Chronicle chronicle =
                new Chronicle(new Noted(), new CountUp(settings.timecode().start()), true, now);
        Switchboard desk = new Switchboard(settings, chronicle, new HeldTime(() -> now), listener -> new Slow());
        desk.start(1, now, 0);
        now += 500 * MILLI;
        told.clear();
        desk.pedals().edge(0, true, false, now);
        assertThat(told).isEmpty();
        slowness = 60;
        desk.pedals().edge(0, false, false, now += 500 * MILLI);
        assertThat(told).containsExactly("Instep stood still for 60 ms in an edge of floor.left");
        slowness = 0;
        now += 2_000 * MILLI;
        desk.pedals().edge(0, true, false, now - 120 * MILLI);
        assertThat(told).hasSize(2);
        assertThat(told.get(1))
                .startsWith("Instep came 120 ms late to an edge of floor.left: this computer was busy or asleep");
        now += 2_000 * MILLI;
        desk.cameRound(now - 50 * MILLI);
        assertThat(told).hasSize(2);
        desk.cameRound(now - 6_000 * MILLI);
        assertThat(told).hasSize(3);
        assertThat(told.get(2))
                .startsWith("Instep came 6000 ms late to the watchdog: this computer was busy or asleep");
    }

    private final class Noted implements Records {
        private long count;

        @Override
        public long append(long mono, long frame, Happening what) {
            if (what.kind() == Kind.NOTE) {
                told.add(what.text(Key.TEXT));
            }
            return count++;
        }

        @Override
        public void flush() {
            // All is told at once.
        }
    }

    private final class Slow implements Crew {
        @Override
        public void start() {
            // Is ready.
        }

        @Override
        public void send(Message message, Values values, long ticket) {
            now += slowness * MILLI;
        }

        @Override
        public void sendTo(int gear, Message message, Values values, long ticket) {
            now += slowness * MILLI;
        }

        @Override
        public void takeBack(int gear, LongPredicate tickets) {
            // Nothing waits.
        }

        @Override
        public void withdraw(LongPredicate tickets, String why) {
            // Nothing waits.
        }

        @Override
        public boolean isQuiet() {
            return true;
        }

        @Override
        public void close() {
            // Nothing is open.
        }
    }
}
