package instep.cutlist;

import java.util.Set;

/**
 * What becomes of a passage that a {@code retake} mark says went wrong. It ends with the mark, where the sentence begins again, and begins with the last clean point before it.
 * The beginning of the take and an earlier {@code retake} mark are always clean.
 *
 * @param since what else is a clean point
 * @param atMost a passage is no longer than so many frames; 0: it may be
 */
public record Retake(Fate fate, Set<CleanPoint> since, long atMost) {
    /** Retake marks are marks like others. */
    public static final Retake NONE = new Retake(Fate.KEEP, Set.of(CleanPoint.values()), 0);

    /** What becomes of it. */
    public enum Fate {
        /** It stays, and nothing is said. */
        KEEP,
        /** It stays, and the timeline says where it is. */
        FLAG,
        /** It is left out. */
        DROP
    }

    /** Where a passage may begin. */
    public enum CleanPoint {
        /** A cut. */
        CUT,
        /** A mark of the kind {@code clean}. */
        CLEAN,
        /** A mark of the kind {@code chapter}. */
        CHAPTER
    }

    public Retake {
        since = Set.copyOf(since);
    }

    boolean isClean(Mark mark) {
        return switch (mark.name()) {
            case Mark.RETAKE -> true;
            case Mark.CLEAN -> since.contains(CleanPoint.CLEAN);
            case Mark.CHAPTER -> since.contains(CleanPoint.CHAPTER);
            default -> false;
        };
    }
}
