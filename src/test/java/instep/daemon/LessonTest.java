package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.cutlist.Shot;
import instep.cutlist.Shots;
import instep.demo.PotteryLesson;
import instep.demo.Stage;
import instep.demo.StandIn;
import instep.input.Performance;
import instep.journal.Entry;
import instep.journal.JournalReader;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.TakeEvents;
import java.math.BigDecimal;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The example lesson through the whole daemon, from edges to the bytes that the stand-ins received. What is expected was worked out by hand from the
 * comments in config-examples/pottery.performance.
 */
class LessonTest {
    private static final double SPEED = 20;

    /** Angle, and when it goes on air, in seconds of the performance. The first is when the right pedal has been down for 500 ms. */
    private static final List<String> EXPECTED = List.of(
            "wide 1.2", // stamped with the closing that became a hold
            "wheel 7.5",
            "wide 13.24",
            "hands 15.8",
            "wide 22.4",
            "wheel 24.31",
            "wide 24.4",
            "wheel 31",
            "hands 34.6",
            "wheel 41.1",
            "hands 43.82",
            "wide 47.3",
            "wheel 50.2",
            "wide 52.65",
            "wheel 53.4",
            "wide 56.9");

    private static List<Entry> entries = List.of();
    private static List<StandIn> standIns = List.of();

    @BeforeAll
    static void playTheLesson(@TempDir Path folder) throws Exception {
        Settings settings = ConfigReader.parse("pottery.yaml", PotteryLesson.patient());
        Performance lesson = Performance.read(Path.of("config-examples/pottery.performance"));
        Stage stage = Stage.open(settings.gear());
        Daemon.Options options = new Daemon.Options(folder, SPEED, Optional.of(lesson), false);
        Daemon daemon = Daemon.start(settings.withGear(stage.gear()), options);
        daemon.performed().join();
        daemon.close();
        stage.close();
        standIns = stage.standIns();
        entries = read(folder);
    }

    private static List<Entry> read(Path folder) throws Exception {
        List<Entry> all = new ArrayList<>();
        try (Stream<Path> files = Files.list(folder)) {
            for (Path file :
                    files.filter(f -> f.toString().endsWith(".jsonl")).sorted().toList()) {
                try (JournalReader reader = JournalReader.open(file)) {
                    for (Optional<Entry> next = reader.next(); next.isPresent(); next = reader.next()) {
                        all.add(next.get());
                    }
                }
            }
        }
        return all;
    }

    private static List<Entry> of(Kind kind) {
        return entries.stream().filter(entry -> entry.kind() == kind).toList();
    }

    private static List<String> received(int gear) {
        return standIns.get(gear).received().stream().map(StandIn.Heard::text).toList();
    }

    @Test
    void cutsAtTheInstantsOfTheEdgesToTheNanosecond() {
        long start = of(Kind.EDGE).get(0).mono() - 1_200_000_000L;
        List<String> cuts = of(Kind.CUT).stream()
                .map(cut -> cut.text(Key.ANGLE).orElseThrow() + " "
                        + BigDecimal.valueOf(cut.number(Key.BEGAN).orElseThrow() - start, 9)
                                .stripTrailingZeros()
                                .toPlainString())
                .toList();
        assertThat(cuts).isEqualTo(EXPECTED);
    }

    @Test
    void confirmsEveryCut() {
        List<Entry> confirmed = of(Kind.CONFIRMED);
        assertThat(confirmed).hasSameSizeAs(EXPECTED);
        for (int i = 0; i < confirmed.size(); i++) {
            Entry cut = of(Kind.CUT).get(i);
            assertThat(confirmed.get(i).number(Key.TICKET)).hasValue(cut.seq());
            assertThat(confirmed.get(i).text(Key.ANGLE)).isEqualTo(cut.text(Key.ANGLE));
            assertThat(confirmed.get(i).mono()).isGreaterThan(cut.mono());
        }
        assertThat(of(Kind.CUT)).noneMatch(cut -> cut.text(Key.BY).isPresent());
    }

    @Test
    void tellsTheMixerJustTheseCutsInThisOrder() {
        List<String> angles = List.of("wide", "wheel", "hands");
        List<String> lines = EXPECTED.stream()
                .map(cut -> "CUT " + (1 + angles.indexOf(cut.substring(0, cut.indexOf(' ')))))
                .toList();
        assertThat(received(0)).isEqualTo(lines);
    }

    @Test
    void rollsAndStopsRecorderAndLamp() {
        assertThat(received(1))
                .hasSize(2)
                .first()
                .asString()
                .contains("PUT", "/transport", "\"mode\":\"record\"", "\"take\":\"1\"");
        assertThat(received(1).get(1)).contains("\"mode\":\"stop\"");
        assertThat(received(2)).hasSize(2);
        assertThat(received(2).get(0)).contains("/lamp/rec", "take 1");
    }

    @Test
    void cutsTheTakeIntoShotsWithoutGap() {
        TakeEvents events = new TakeEvents();
        entries.forEach(events::accept);
        List<Shot> shots = Shots.of(events.toList());
        assertThat(shots).hasSize(EXPECTED.size());
        for (int i = 1; i < shots.size(); i++) {
            assertThat(shots.get(i).in()).isEqualTo(shots.get(i - 1).out());
        }
        long frames = shots.get(shots.size() - 1).out() - shots.get(0).in();
        // From 1.7 s to 60.2 s, when the right pedal had been down for 500 ms: 58.5 s at 25 a second, as the recorders
        // rolled.
        // 25 a second.
        assertThat(frames).isBetween(1461L, 1464L);
    }

    @Test
    void marksTheRetakeWhereTheTapBegan() {
        long start = of(Kind.EDGE).get(0).mono() - 1_200_000_000L;
        assertThat(of(Kind.MARK)).singleElement().satisfies(mark -> {
            assertThat(mark.text(Key.MARK)).contains("retake");
            assertThat(mark.mono() - start).isEqualTo(27_150_000_000L);
        });
    }

    @Test
    void namesTheEdgeThatCausedEachCut() {
        for (Entry cut : of(Kind.CUT)) {
            long cause = cut.number(Key.CAUSE).orElseThrow();
            assertThat(of(Kind.EDGE)).anySatisfy(edge -> {
                assertThat(edge.seq()).isEqualTo(cause);
                assertThat(edge.mono()).isEqualTo(cut.number(Key.BEGAN).orElseThrow());
            });
        }
    }

    @Test
    void missesNothing() {
        assertThat(of(Kind.MISSED)).isEmpty();
        assertThat(of(Kind.FAULT)).isEmpty();
        assertThat(of(Kind.SENT)).hasSize(EXPECTED.size() + 4);
    }
}
