package instep.input.hid;

/**
 * Usages of one page that follow each other.
 *
 * @param first the number of the first
 * @param last the number of the last, not below that
 */
public record UsageRange(int page, int first, int last) {
    /** How many they are. */
    public int size() {
        return last - first + 1;
    }

    /** Whether it is one of them. */
    public boolean holds(Usage usage) {
        return usage.page() == page && usage.id() >= first && usage.id() <= last;
    }

    /** For a person: {@code button 1 to 8}. */
    public String words() {
        String start = new Usage(page, first).words();
        if (first == last) {
            return start;
        }
        String end = new Usage(page, last).words();
        return start + " to " + end.substring(Math.max(end.indexOf(' '), end.indexOf(':')) + 1);
    }
}
