package instep.command;

import java.io.PrintStream;
import java.util.Locale;
import java.util.function.LongSupplier;

/** How far a long piece of work is and how long it will still take: a bar that stays on its line on a terminal, else a line for each tenth. Not thread-safe. */
final class ProgressLine {
    private static final int CELLS = 30;
    private static final long REDRAW_NANOS = 200_000_000L;
    private static final long SECOND = 1_000_000_000L;

    private final PrintStream out;
    private final boolean terminal;
    private final LongSupplier nanos;
    private final long total;
    private final long began;
    private long drawn = Long.MIN_VALUE;
    private long done;
    private long worked;
    private long tenths;

    /**
     * Begins.
     *
     * @param nanos the time that passes
     * @param total how much there is to do
     */
    ProgressLine(PrintStream out, boolean terminal, LongSupplier nanos, long total) {
        this.out = out;
        this.terminal = terminal;
        this.nanos = nanos;
        this.total = Math.max(1, total);
        this.began = nanos.getAsLong();
    }

    /** So much more is done; {@code kept} if it was before, which says nothing about how long the rest takes. */
    void done(long more, boolean kept) {
        done += more;
        worked += kept ? 0 : more;
        long now = nanos.getAsLong();
        if (terminal && (drawn == Long.MIN_VALUE || now - drawn >= REDRAW_NANOS || done >= total)) {
            drawn = now;
            draw(now);
        } else if (!terminal && done * 10 / total > tenths) {
            tenths = done * 10 / total;
            out.println(percent() + left(now));
        }
    }

    /** Leaves the line. */
    void end() {
        if (terminal && drawn != Long.MIN_VALUE) {
            out.println();
        }
    }

    private void draw(long now) {
        int cells = (int) (done * CELLS / total);
        out.print("\r[" + "#".repeat(cells) + "-".repeat(CELLS - cells) + "] " + percent() + left(now) + "   ");
        out.flush();
    }

    private String percent() {
        return String.format(Locale.ROOT, "%3d %%", Math.min(100, done * 100 / total));
    }

    private String left(long now) {
        if (done >= total) {
            return ", sound and end";
        }
        if (worked == 0) {
            return "";
        }
        long seconds = (long) ((double) (now - began) / worked * (total - done) / SECOND) + 1;
        return seconds >= 3600
                ? String.format(Locale.ROOT, ", %d:%02d:%02d left", seconds / 3600, seconds / 60 % 60, seconds % 60)
                : String.format(Locale.ROOT, ", %d:%02d left", seconds / 60, seconds % 60);
    }
}
