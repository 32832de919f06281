package instep;

/** Numbers with their nouns. */
final class Counts {
    private Counts() {}

    /** {@code 1 take}, {@code 2 takes}. */
    static String of(long count, String noun) {
        return count + " " + noun + (count == 1 ? "" : "s");
    }
}
