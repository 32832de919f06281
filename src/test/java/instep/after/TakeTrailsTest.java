package instep.after;

import static org.assertj.core.api.Assertions.assertThat;

import instep.cutlist.Take;
import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import instep.report.LinkFigures;
import instep.report.SyncStep;
import instep.report.Trail;
import instep.report.Trouble;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** A frame at 25 frames a second lasts 40 ms; the labels are those that the journal would have. */
class TakeTrailsTest {
    private static final long MILLI = 1_000_000;
    private static final long DAY = 24L * 60 * 60 * 25;

    private final TakeTrails trails = new TakeTrails();
    private long seq;

    private void add(long millis, String tc, Kind kind, Map<String, Object> fields) {
        trails.accept(new Entry(
                ++seq, "2026-03-02T10:00:00.000000000+01:00", millis * MILLI, tc, kind, new HashMap<>(fields)));
    }

    private Trail trail() {
        return trails.of(new Take(1, 0, 0, true, List.of(), List.of()));
    }

    /** 35 ms into its first frame: 10 ms later is the next frame, though no whole frame has passed. */
    @Test
    void tellsTheLabelOfTheRecordWhereATakeBeginsWithinAFrame() {
        add(0, "00:00:00:00", Kind.START, Map.of(Key.RATE, "25"));
        add(75, "10:00:00:01", Kind.TAKE_OPEN, Map.of(Key.TAKE, 1L, Key.FRAME, 900_001L));
        add(85, "10:00:00:02", Kind.FAULT, Map.of(Key.TEXT, "a"));
        add(130, "10:00:00:03", Kind.LINK, Map.of(Key.GEAR, "mixer", Key.STATE, "lost", Key.WHY, "it is off"));
        add(155, "10:00:00:03", Kind.MISSED, Map.of(Key.GEAR, "mixer"));
        assertThat(trail().troubles()).extracting(Trouble::frame).containsExactly(900_002L, 900_003L, 900_003L);
    }

    @Test
    void countsOnOverMidnight() {
        add(0, "00:00:00:00", Kind.START, Map.of(Key.RATE, "25"));
        add(30, "23:59:59:24", Kind.TAKE_OPEN, Map.of(Key.TAKE, 1L, Key.FRAME, DAY - 1));
        add(45, "00:00:00:00", Kind.FAULT, Map.of(Key.TEXT, "a"));
        assertThat(trail().troubles()).extracting(Trouble::frame).containsExactly(DAY);
    }

    /** Timecode goes on 1000 frames further: the take's own frames go straight on. */
    @Test
    void countsOnWhereTimecodeJumps() {
        add(0, "00:00:00:00", Kind.START, Map.of(Key.RATE, "25"));
        add(30, "10:00:00:00", Kind.TAKE_OPEN, Map.of(Key.TAKE, 1L, Key.FRAME, 900_000L));
        add(
                90,
                "10:00:40:02",
                Kind.SYNC,
                Map.of(Key.SOURCE, "ltc", Key.STATE, "jumped", Key.FRAME, 901_002L, Key.BEGAN, 80L * MILLI));
        add(125, "10:00:40:03", Kind.FAULT, Map.of(Key.TEXT, "a"));
        Trail trail = trail();
        assertThat(trail.sync().steps()).extracting(SyncStep::frame).containsExactly(900_001L);
        assertThat(trail.troubles()).extracting(Trouble::frame).containsExactly(900_002L);
    }

    /** A label that cannot be read is no reason to leave a fault out. */
    @Test
    void countsFramesWhereARecordHasNoLabel() {
        add(0, "00:00:00:00", Kind.START, Map.of(Key.RATE, "25"));
        add(0, "10:00:00:00", Kind.TAKE_OPEN, Map.of(Key.TAKE, 1L, Key.FRAME, 900_000L));
        add(125, "", Kind.FAULT, Map.of(Key.TEXT, "a"));
        assertThat(trail().troubles()).extracting(Trouble::frame).containsExactly(900_003L);
    }

    @Test
    void countsALossOnceWhateverIsSaidOfItAfterwards() {
        add(0, "00:00:00:00", Kind.START, Map.of(Key.RATE, "25"));
        add(0, "10:00:00:00", Kind.TAKE_OPEN, Map.of(Key.TAKE, 1L, Key.FRAME, 900_000L));
        for (String why : List.of("it closed the connection", "connection refused", "")) {
            Map<String, Object> fields = why.isEmpty()
                    ? Map.of(Key.GEAR, "mixer", Key.STATE, "up")
                    : Map.of(Key.GEAR, "mixer", Key.STATE, "lost", Key.WHY, why);
            add(40, "10:00:00:01", Kind.LINK, fields);
        }
        add(80, "10:00:00:02", Kind.LINK, Map.of(Key.GEAR, "mixer", Key.STATE, "lost", Key.WHY, "it is off"));
        Trail trail = trail();
        assertThat(trail.links()).extracting(LinkFigures::losses).containsExactly(2L);
        assertThat(trail.troubles())
                .extracting(Trouble::text)
                .containsExactly("lost: it closed the connection", "lost: it is off");
    }
}
