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

    @Test
    void saysThatThereIsNone() {
        add(0, Kind.START, Map.of(Key.RATE, "25"));
        assertThat(takes.text()).isEqualTo(String.format("No take was recorded.%n"));
    }
}
