package instep.input;

import java.util.LinkedHashSet;
import java.util.Set;
import java.util.function.Consumer;

/** What is odd about those who send, each told once, and no more than one a second however many there are. Loop thread only. */
final class Oddities {
    private static final long INTERVAL_NANOS = 1_000_000_000L;
    private static final int MOST = 256;
    private static final int LONGEST = 40;

    private final Consumer<String> tell;
    private final Set<String> told = new LinkedHashSet<>();
    private long latest = Long.MIN_VALUE;

    Oddities(Consumer<String> tell) {
        this.tell = tell;
    }

    /**
     * Tells it unless that was done, or something else was told just now.
     *
     * @param about what is told once: who, and what kind of thing
     */
    void tell(String about, String sentence, long nanos) {
        if ((latest != Long.MIN_VALUE && nanos - latest < INTERVAL_NANOS) || told.contains(about)) {
            return;
        }
        if (told.size() == MOST) {
            told.remove(told.iterator().next());
        }
        told.add(about);
        latest = nanos;
        tell.accept(sentence);
    }

    /** Something that was sent, fit to be shown to a person. */
    static String quote(String text) {
        String cut = text.length() > LONGEST ? text.substring(0, LONGEST) + "…" : text;
        return '"' + OutsideText.visible(cut) + '"';
    }
}
