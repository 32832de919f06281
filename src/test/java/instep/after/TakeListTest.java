package instep.after;

import static org.assertj.core.api.Assertions.assertThat;

import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import java.util.Map;
import org.junit.jupiter.api.Test;

class TakeListTest {
    private final TakeList takes = new TakeList();
    private long seq;

    private void add(long frame, Kind kind, Map<String, Object> fields) {
        Map<String, Object> all = new java.util.HashMap<>(fields);
        if (kind.isFramed()) {
            all.put(Key.FRAME, frame);
        }
        String tc = String.format("10:00:%02d:%02d", frame / 25 % 60, frame % 25);
        takes.accept(new Entry(++seq, "2026-03-02T10:00:00.000000000+01:00", frame * 40_000_000L, tc, kind, all));
    }

    @Test
    void tellsLengthCutsMarksFaultsAndSharesOfEachTake() {
        add(0, Kind.START, Map.of(Key.RATE, "25"));
        add(0, Kind.SYNC, Map.of(Key.SOURCE, "count-up"));
        add(0, Kind.TAKE_OPEN, Map.of(Key.TAKE, 1L));
        add(0, Kind.CUT, Map.of(Key.ANGLE, "wide"));
        add(75, Kind.CUT, Map.of(Key.ANGLE, "wheel"));
        add(80, Kind.MARK, Map.of(Key.MARK, "retake"));
        add(81, Kind.MARK, Map.of(Key.MARK, "retake"));
        add(82, Kind.MARK, Map.of(Key.MARK, "chapter"));
        add(90, Kind.MISSED, Map.of());
        add(91, Kind.FAULT, Map.of());
        add(100, Kind.TAKE_CLOSE, Map.of(Key.TAKE, 1L));
        add(101, Kind.FAULT, Map.of());
        add(150, Kind.TAKE_OPEN, Map.of(Key.TAKE, 2L));
        add(160, Kind.SYNC, Map.of(Key.SOURCE, "ltc", Key.STATE, "follows"));
        add(165, Kind.SYNC, Map.of(Key.SOURCE, "ltc", Key.STATE, "jumped"));
        add(174, Kind.EDGE, Map.of());
        String[] lines = takes.text().split(System.lineSeparator());
        assertThat(lines).hasSize(3);
        assertThat(lines[1].strip().split("\\s{2,}|(?<=1)\\s+(?=2026)"))
                .containsExactly(
                        "1",
                        "2026-03-02",
                        "10:00:00:00",
                        "00:04.000",
                        "1",
                        "2",
                        "count-up",
                        "retake 2, chapter 1",
                        "wide 75 %, wheel 25 %");
        assertThat(lines[2]).contains("10:00:06:00", "00:01.000", "count-up, jumped", "never closed");
    }

    /** The gap is told: what was pressed in it, nobody knows. */
    @Test
    void tellsOneTakeWhereALaterRunHasGoneOnWithIt() {
        add(0, Kind.START, Map.of(Key.RATE, "25"));
        add(0, Kind.TAKE_OPEN, Map.of(Key.TAKE, 1L));
        add(0, Kind.CUT, Map.of(Key.ANGLE, "wide"));
        add(30, Kind.MARK, Map.of(Key.MARK, "retake"));
        add(49, Kind.FAULT, Map.of());
        add(100, Kind.START, Map.of(Key.RATE, "25"));
        add(100, Kind.TAKE_OPEN, Map.of(Key.TAKE, 1L, Key.RESUMED, true, Key.LASTED, 100L));
        add(100, Kind.CUT, Map.of(Key.ANGLE, "wide"));
        add(120, Kind.MARK, Map.of(Key.MARK, "retake"));
        add(120, Kind.FAULT, Map.of());
        add(150, Kind.CUT, Map.of(Key.ANGLE, "wheel"));
        add(200, Kind.TAKE_CLOSE, Map.of(Key.TAKE, 1L));
        add(300, Kind.TAKE_OPEN, Map.of(Key.TAKE, 2L));
        add(300, Kind.CUT, Map.of(Key.ANGLE, "hands"));
        add(400, Kind.TAKE_CLOSE, Map.of(Key.TAKE, 2L));
        String[] lines = takes.text().split(System.lineSeparator());
        assertThat(lines).hasSize(3);
        assertThat(lines[1])
                .contains("10:00:00:00", "00:08.000", " 1       2 ", "retake 2")
                .endsWith("wide 75 %, wheel 25 % (resumed after a gap of 00:02.000)");
        assertThat(lines[2]).contains("10:00:12:00", "00:04.000").endsWith("hands 100 %");
    }

    @Test
    void addsUpTheGapsOfATakeThatWasResumedAgainAndAgain() {
        add(0, Kind.START, Map.of(Key.RATE, "25"));
        add(0, Kind.TAKE_OPEN, Map.of(Key.TAKE, 1L));
        for (long run = 100; run <= 200; run += 100) {
            add(run, Kind.START, Map.of(Key.RATE, "25"));
            add(run, Kind.TAKE_OPEN, Map.of(Key.TAKE, 1L, Key.RESUMED, true));
            add(run + 49, Kind.EDGE, Map.of());
        }
        assertThat(takes.text()).contains("00:10.000", "(resumed 2 times, after gaps of 00:05.960) (never closed");
    }

    /** As the cut list has it: timecode that begins anew would count the same frames twice. */
    @Test
    void tellsTheRestOfATakeByItselfWhereItsTimecodeBeganAnew() {
        add(500, Kind.START, Map.of(Key.RATE, "25"));
        add(500, Kind.TAKE_OPEN, Map.of(Key.TAKE, 1L));
        add(549, Kind.EDGE, Map.of());
        add(0, Kind.START, Map.of(Key.RATE, "25"));
        add(0, Kind.TAKE_OPEN, Map.of(Key.TAKE, 1L, Key.RESUMED, true));
        add(25, Kind.TAKE_CLOSE, Map.of(Key.TAKE, 1L));
        String[] lines = takes.text().split(System.lineSeparator());
        assertThat(lines).hasSize(3);
        assertThat(lines[1]).contains("00:02.000").contains("never closed");
        assertThat(lines[2])
                .contains("00:01.000")
                .endsWith("(resumed, but its timecode did not go on: this is the rest of it)");
    }

    @Test
    void saysThatThereIsNone() {
        add(0, Kind.START, Map.of(Key.RATE, "25"));
        assertThat(takes.text()).isEqualTo(String.format("No take was recorded.%n"));
    }
}
