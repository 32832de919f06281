package instep.rehearsal;

import instep.time.Elapsed;

/**
 * A line of a rehearsal: something that happened, in the words in which a scenario expects it.
 *
 * @param nanos since the start
 * @param kind what sort of thing
 * @param words what, without its kind; single spaces between
 * @param remark for the reader, no part of what is expected; may be empty
 */
public record Line(long nanos, Kind kind, String words, String remark) {
    /** What a rehearsal tells. Edges, and what gear and pedals do, are what it was told itself. */
    enum Kind {
        EDGE("", false),
        NEWS("", false),
        GESTURE("gesture", false),
        TRANSITION("transition", false),
        RETURN("return", false),
        CUT("cut", true),
        CONFIRMED("confirmed", false),
        TAKE("take", true),
        MARK("mark", true),
        SEND("send", false),
        SAY("say", false),
        FAULT("fault", true);

        private final String word;
        private final boolean counts;

        Kind(String word, boolean counts) {
            this.word = word;
            this.counts = counts;
        }

        /** The word before it; empty: it has none. */
        String word() {
            return word;
        }

        /** Whether all lines of this kind have to be expected, even by a scenario that expects none. */
        boolean alwaysCounts() {
            return counts;
        }
    }

    /** Without the remark: what a scenario has. */
    public String told() {
        return kind.word().isEmpty() ? words : kind.word() + " " + words;
    }

    /** A time as it is shown: in milliseconds, which is finer than any foot. */
    public static String time(long nanos) {
        return Elapsed.text((nanos + 500_000) / 1_000_000 * 1_000_000);
    }

    @Override
    public String toString() {
        String left = kind.word().isEmpty() ? words : String.format("%-10s %s", kind.word(), words);
        String line = String.format("%10s  %s", time(nanos), left);
        return remark.isEmpty() ? line : String.format("%-55s  # %s", line, remark);
    }
}
