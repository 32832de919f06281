package instep.clock;

import instep.time.TimecodeLine;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Notes what a chase tells. */
final class HeardNews implements Chase.Listener {
    final List<Chase.News> news = new ArrayList<>();
    final List<Chase.Quality> qualities = new ArrayList<>();
    final List<String> troubles = new ArrayList<>();
    private @Nullable TimecodeLine line;

    @Override
    public void news(Chase.News what, @Nullable TimecodeLine now, Chase.Quality quality) {
        news.add(what);
        qualities.add(quality);
        line = now;
    }

    @Override
    public void trouble(String sentence) {
        troubles.add(sentence);
    }

    /** The line that was told last; there must be one. */
    TimecodeLine line() {
        if (line == null) {
            throw new AssertionError("no line has been told");
        }
        return line;
    }

    /** What was told but that it follows. */
    List<Chase.News> turns() {
        return news.stream().filter(what -> what != Chase.News.FOLLOWS).toList();
    }
}
