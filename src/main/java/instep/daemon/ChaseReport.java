package instep.daemon;

import instep.clock.Chase;
import instep.journal.SyncQuality;
import instep.time.TimecodeLine;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;

/**
 * Tells the switchboard what has become of timecode from outside. Loop thread only.
 *
 * @param name what it is, for a person
 * @param switchboard that of the moment
 */
record ChaseReport(String name, Supplier<Switchboard> switchboard) implements Chase.Listener {
    private static final long NANOS_PER_MICRO = 1_000;

    @Override
    public void news(Chase.News news, @Nullable TimecodeLine line, Chase.Quality quality) {
        SyncQuality known = new SyncQuality(
                null, micros(quality.uncertaintyNanos()), micros(quality.ageNanos()), quality.ratePpm());
        switchboard.get().timecode(new ChaseNews(news, line, known));
    }

    private static long micros(long nanos) {
        return nanos < 0 ? nanos : nanos / NANOS_PER_MICRO;
    }

    @Override
    public void trouble(String sentence) {
        switchboard.get().timecodeFault(name + ": " + sentence);
    }
}
