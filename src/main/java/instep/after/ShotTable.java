package instep.after;

import instep.cutlist.Shot;
import instep.cutlist.Take;
import instep.cutlist.Takes;
import instep.journal.DamagedLineException;
import instep.journal.Entry;
import instep.journal.JournalScan;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.TakeEvents;
import instep.time.Durations;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Path;
import java.util.EnumSet;

/** The cuts of a folder's last run as a table for people, read back from its journal. It holds one take at a time. */
public final class ShotTable implements JournalScan.Visitor {
    private final PrintStream out;
    /** So many runs begin before the one that is shown. */
    private long earlier;

    private final Takes takes = new Takes(this::print);
    private final TakeEvents events = new TakeEvents(takes::accept);
    private FrameRate rate = FrameRate.R25;
    private long take = -1;
    private int number;

    private ShotTable(PrintStream out, long earlier) {
        this.out = out;
        this.earlier = earlier;
    }

    /** Prints the table, a take after the other. */
    public static void print(Path folder, PrintStream out) throws IOException {
        Beginnings runs = new Beginnings();
        JournalScan.of(folder, EnumSet.of(Kind.START), runs);
        ShotTable table = new ShotTable(out, runs.count - 1);
        JournalScan.of(folder, TakeEvents.KINDS, table);
        table.end();
    }

    private static final class Beginnings implements JournalScan.Visitor {
        private long count;

        @Override
        public void entry(Path file, long line, Entry entry) {
            count++;
        }

        @Override
        public void damaged(DamagedLineException what) throws IOException {
            throw what;
        }
    }

    @Override
    public void entry(Path file, long line, Entry entry) {
        if (entry.kind() == Kind.START) {
            rate = entry.text(Key.RATE).flatMap(FrameRate::named).orElse(rate);
            earlier--;
        }
        if (earlier < 0) {
            events.accept(entry);
        }
    }

    @Override
    public void passed(long mono) {
        if (earlier < 0) {
            events.passed(mono);
        }
    }

    @Override
    public void damaged(DamagedLineException what) throws IOException {
        throw what;
    }

    private void print(Take found) {
        found.shots().forEach(this::print);
    }

    private void print(Shot shot) {
        if (shot.take() != take) {
            take = shot.take();
            number = 0;
            out.printf("%nTake %d%n", take);
            out.printf("  %4s  %-12s %-11s  %-11s  %s%n", "shot", "angle", "from", "to", "length");
        }
        out.printf(
                "  %4d  %-12s %s  %s  %s%n",
                ++number,
                shot.angle(),
                Timecode.wrapped(rate, shot.in()),
                Timecode.wrapped(rate, shot.out()),
                Durations.ofFrames(shot.frames(), rate));
    }

    private void end() {
        events.end();
        takes.end();
        if (take < 0) {
            out.printf("%nNo take was recorded.%n");
        }
        out.println();
    }
}
