package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the journal's thread leaves for the collector, which stops the loop, too. */
class JournalGarbageTest {
    private static final int PRESSES = 1_000;

    @TempDir
    private Path folder;

    /** The bytes that the journal's thread has allocated when it sees the first take begin, and when it sees it end. */
    private static final class Meter implements Watch {
        private final ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        private long before;
        private long allocated;

        @Override
        public void saw(long mono, long frame, Happening what) {
            if (what.kind() == Kind.TAKE_OPEN) {
                before = threads.getCurrentThreadAllocatedBytes();
            } else if (what.kind() == Kind.TAKE_CLOSE) {
                allocated = threads.getCurrentThreadAllocatedBytes() - before;
            }
        }

        @Override
        public void caughtUp() {
            // Groups are as large as they happen to be.
        }
    }

    /** Five records and two lines of the event log. One formatter a line, as {@code String.format} makes it, would be more than all of that. */
    @Test
    void aPressLeavesLessThanFiveThousandBytes() throws JournalException {
        Meter meter = new Meter();
        JournalSettings settings = TestJournal.settings(folder, Durability.OS, 20 * PRESSES);
        try (EventLog log = EventLog.open(folder, false);
                Journal journal = Journal.open(settings, TestJournal.wall(), log, meter)) {
            press(journal);
            journal.append(0, 0, Happening.takeOpen(1));
            press(journal);
            journal.append(0, 0, Happening.takeClose(1));
        }
        assertThat(meter.allocated / PRESSES).isBetween(100L, 5_000L);
    }

    /** What a detour leaves in the journal, that many times. */
    private static void press(Journal journal) {
        Happening.Step step = new Happening.Step("rolling", "rolling", false);
        for (int i = 0; i < PRESSES; i++) {
            long at = i * 10_000_000L;
            long edge = journal.append(at, i, Happening.edge("floor.left", true, false));
            journal.append(at, i, Happening.gesture("floor.left.press", at, edge));
            journal.append(at, i, Happening.transition(step, "floor.left.press", 12, edge));
            long cut = journal.append(at, i, Happening.cut("wheel", "wide", edge, at));
            journal.append(at, i, Happening.sent("mixer", "CUT 2", cut, 187));
            journal.flush();
        }
    }
}
