package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.clock.CountUp;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.demo.PotteryLesson;
import instep.gear.GearListener;
import instep.input.Performance;
import instep.journal.Happening;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.Records;
import instep.rehearsal.Nobody;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;

class PlayerTest {
    private static final long BEGIN = 1_000_000_000L;
    private static final Set<Kind> DECISIONS =
            EnumSet.of(Kind.EDGE, Kind.GESTURE, Kind.TRANSITION, Kind.TAKE_OPEN, Kind.TAKE_CLOSE, Kind.CUT, Kind.MARK);

    private final List<String> told = new ArrayList<>();
    private long now = BEGIN;
    private final Settings settings = settings();
    private final Performance lesson = lesson();

    private static Settings settings() {
        try {
            return ConfigReader.parse("pottery.yaml", PotteryLesson.patient());
        } catch (Exception e) {
            throw new AssertionError(e);
        }
    }

    private static Performance lesson() {
        try {
            return Performance.read(Path.of("config-examples/pottery.performance"));
        } catch (Exception e) {
            throw new AssertionError(e);
        }
    }

    private Switchboard playing() throws Exception {
        Chronicle chronicle =
                new Chronicle(new Noted(), new CountUp(settings.timecode().start()), true, now);
        Switchboard desk = new Switchboard(settings, chronicle, new HeldTime(() -> now), listener -> new Nobody());
        desk.start(0, now, 0);
        Player player = Player.all(settings, Optional.of(lesson)).get(0);
        desk.pedals().listenTo(player);
        player.begin(now);
        return desk;
    }

    private List<String> punctually() throws Exception {
        Switchboard desk = playing();
        for (Performance.Edge edge : lesson.edges()) {
            now = BEGIN + edge.nanos();
            desk.settle(now);
        }
        now += Player.TAIL_NANOS;
        desk.settle(now);
        List<String> all = List.copyOf(told);
        told.clear();
        now = BEGIN;
        return all;
    }

    /** The loop was held up for the whole lesson, and hears of gear first: what feet did before that comes before it. */
    @Test
    void playsTheSameLessonHoweverLateTheLoopComesRound() throws Exception {
        List<String> wanted = punctually();
        assertThat(wanted.stream().filter(line -> line.startsWith("CUT"))).hasSizeGreaterThan(10);
        Switchboard desk = playing();
        now += lesson.length() + Player.TAIL_NANOS;
        desk.gear().link(0, GearListener.LinkState.UP, "");
        assertThat(told).isEqualTo(wanted);
    }

    private final class Noted implements Records {
        private long count;

        @Override
        public long append(long mono, long frame, Happening what) {
            if (DECISIONS.contains(what.kind())) {
                told.add(what.kind() + " " + mono + " " + what.text(Key.CONTACT) + what.text(Key.EVENT)
                        + what.text(Key.ANGLE) + what.text(Key.MARK));
            }
            return count++;
        }

        @Override
        public void flush() {
            // All is told at once.
        }
    }
}
