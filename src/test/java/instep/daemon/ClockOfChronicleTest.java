package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.TimecodeSettings;
import instep.config.TimecodeSettings.Source;
import instep.journal.Happening;
import instep.journal.Key;
import instep.journal.Records;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

/** What becomes of the time of day when the clock is set, and what is said of it. */
class ClockOfChronicleTest {
    private static final long SECOND = 1_000_000_000L;
    private static final long FRAME = SECOND / 25;

    private final List<String> told = new ArrayList<>();
    private long offset = 36_000 * SECOND;
    private long seen = offset;
    private String state = "synchronized";
    private long uncertainty = -1;

    private final WallTime wall = new WallTime() {
        @Override
        public long at(long nanos) {
            return nanos + seen;
        }

        @Override
        public ZoneId zone() {
            return ZoneOffset.UTC;
        }

        @Override
        public long setSince(long nanos) {
            long by = offset - seen;
            seen = offset;
            return by;
        }

        @Override
        public @Nullable String state() {
            return state;
        }

        @Override
        public long uncertaintyMicros() {
            return uncertainty;
        }
    };

    private final class Notes implements Records {
        @Override
        public long append(long mono, long frame, Happening what) {
            String clock = what.text(Key.CLOCK);
            told.add(Timecode.wrapped(FrameRate.R25, frame) + " " + what.kind().word()
                    + (what.number(Key.LASTED) < 0 ? "" : " after " + what.number(Key.LASTED))
                    + (clock.isEmpty() ? "" : " " + clock)
                    + (what.number(Key.UNCERTAINTY_US) < 0 ? "" : " to " + what.number(Key.UNCERTAINTY_US) + " us")
                    + (what.text(Key.TEXT).isEmpty() ? "" : " " + what.text(Key.TEXT)));
            return told.size();
        }

        @Override
        public void flush() {
            // nothing waits
        }
    }

    private Chronicle chronicle() {
        TimecodeSettings timecode = new TimecodeSettings(
                FrameRate.R25, Source.TIME_OF_DAY, new Timecode(FrameRate.R25, 0), null, null, null);
        return Chronicle.of(new Notes(), timecode, wall, 0);
    }

    @Test
    void aClockThatIsSetMovesTheNextTakeAndNotTheOneThatIsOpen() {
        Chronicle chronicle = chronicle();
        chronicle.beginTake(1, SECOND);
        offset += 5 * SECOND;
        chronicle.note(2 * SECOND, Happening.takeClose(1));
        chronicle.beginTake(2, 3 * SECOND);
        offset -= 90 * SECOND;
        chronicle.beginTake(3, 4 * SECOND);
        assertThat(told)
                .containsExactly(
                        "10:00:01:00 sync synchronized",
                        "10:00:01:00 take-open",
                        "10:00:02:00 take-close",
                        "10:00:08:00 sync synchronized",
                        "10:00:08:00 take-open",
                        "10:00:08:00 fault the clock of this machine was set forward by 5 s before this take: so was timecode",
                        "09:58:39:00 sync synchronized",
                        "09:58:39:00 take-open",
                        "09:58:39:00 fault the clock of this machine was set back by 1 min 30 s before this take: so was timecode");
    }

    @Test
    void saysWhetherAnythingKeepsTheClockRight() {
        state = "unsynchronized";
        Chronicle chronicle = chronicle();
        chronicle.noteSource(0);
        state = "synchronized";
        uncertainty = 12_345;
        chronicle.beginTake(1, SECOND);
        assertThat(told)
                .containsExactly(
                        "10:00:00:00 sync unsynchronized",
                        "10:00:01:00 sync synchronized to 12345 us",
                        "10:00:01:00 take-open");
    }

    /** Half a frame before and after: it began in the frame that the same line had then. */
    @Test
    void tellsHowManyFramesATakeHasLastedThatGoesOn() {
        Chronicle chronicle = chronicle();
        chronicle.resumeTake(1, 4 * SECOND + FRAME / 2, 9 * SECOND);
        assertThat(told).last().isEqualTo("10:00:09:00 take-open after 125");
        chronicle.resumeTake(1, 4 * SECOND - FRAME / 2, 9 * SECOND);
        assertThat(told).last().isEqualTo("10:00:09:00 take-open after 126");
    }
}
