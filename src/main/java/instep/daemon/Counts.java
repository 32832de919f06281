package instep.daemon;

/** Numbers with their nouns. */
public final class Counts {
    private Counts() {}

    /** {@code 1 take}, {@code 2 takes}. */
    public static String of(long count, String noun) {
        return count + " " + noun + (count == 1 ? "" : "s");
    }
}
