package instep.after;

import instep.cutlist.Shot;
import instep.cutlist.Shots;
import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.TakeEvents;
import instep.time.Durations;
import instep.time.FrameRate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/** The takes of a journal as a table for people. Records are given in the order of the files. Not thread-safe. */
public final class TakeList {
    private final StringBuilder out = new StringBuilder();
    private final List<Take> run = new ArrayList<>();
    private FrameRate rate = FrameRate.R25;
    private TakeEvents events = new TakeEvents();
    private @Nullable Take open;
    private String source = "";
    private boolean any;

    /** What is known of a take while it is read. */
    private static final class Take {
        private final long number;
        private final String day;
        private final String from;
        private final String source;
        private final Map<String, Integer> marks = new LinkedHashMap<>();
        private int faults;
        private boolean closed;
        /** What happened to its timecode, in the words of the journal. */
        private final Set<String> states = new LinkedHashSet<>();

        Take(Entry opened, String source) {
            number = opened.number(Key.TAKE).orElse(0);
            day = opened.at().substring(0, 10);
            from = opened.tc();
            this.source = source;
        }

        /** Its source, and what else an editor has to know of it. */
        String timecode() {
            return states.isEmpty() ? source : source + ", " + String.join(", ", states);
        }

        void accept(Entry entry) {
            switch (entry.kind()) {
                case MARK -> marks.merge(entry.text(Key.MARK).orElse(""), 1, Integer::sum);
                case FAULT, MISSED -> faults++;
                case SYNC ->
                    entry.text(Key.STATE)
                            .filter(state -> !state.equals("follows"))
                            .ifPresent(states::add);
                default -> {}
            }
        }
    }

    public void accept(Entry entry) {
        if (entry.kind() == Kind.START) {
            endRun();
            rate = entry.text(Key.RATE).flatMap(FrameRate::named).orElse(rate);
        }
        events.accept(entry);
        if (entry.kind() == Kind.SYNC) {
            String clock = entry.text(Key.CLOCK).orElse("");
            source = entry.text(Key.SOURCE).orElse("") + (clock.equals("unsynchronized") ? ", no NTP" : "");
        }
        if (entry.kind() == Kind.TAKE_OPEN) {
            open = new Take(entry, source);
            run.add(open);
        }
        Take now = open;
        if (now != null) {
            now.accept(entry);
            if (entry.kind() == Kind.TAKE_CLOSE) {
                now.closed = true;
                open = null;
            }
        }
    }

    /** All that was given. */
    public String text() {
        endRun();
        return any ? out.toString() : String.format("No take was recorded.%n");
    }

    private void endRun() {
        List<Shot> shots = Shots.of(events.toList());
        for (Take take : run) {
            if (!any) {
                out.append(String.format(
                        "%5s  %-10s  %-11s  %-12s %4s  %6s  %-19s  %-22s %s%n",
                        "take", "day", "from", "length", "cuts", "faults", "timecode", "marks", "on air"));
                any = true;
            }
            row(take, shots.stream().filter(shot -> shot.take() == take.number).toList());
        }
        run.clear();
        events = new TakeEvents();
        open = null;
    }

    private void row(Take take, List<Shot> shots) {
        long frames = shots.stream().mapToLong(Shot::frames).sum();
        String marks = take.marks.entrySet().stream()
                .map(mark -> mark.getKey() + " " + mark.getValue())
                .collect(Collectors.joining(", "));
        out.append(String.format(
                "%5d  %-10s  %-11s  %-12s %4d  %6s  %-19s  %-22s %s%s%n",
                take.number,
                take.day,
                take.from,
                Durations.ofFrames(frames, rate),
                Math.max(0, shots.size() - 1),
                take.faults == 0 ? "-" : String.valueOf(take.faults),
                take.timecode(),
                marks.isEmpty() ? "-" : marks,
                shares(shots, frames),
                take.closed ? "" : " (never closed: it ends with the last that is known)"));
    }

    /** Which angles, the longest first, with their share of the take. */
    private static String shares(List<Shot> shots, long frames) {
        Map<String, Long> byAngle = shots.stream()
                .collect(Collectors.groupingBy(Shot::angle, LinkedHashMap::new, Collectors.summingLong(Shot::frames)));
        return byAngle.entrySet().stream()
                .sorted(Map.Entry.<String, Long>comparingByValue().reversed())
                .map(angle -> (angle.getKey().isEmpty() ? "?" : angle.getKey()) + " "
                        + Math.round(100.0 * angle.getValue() / frames) + " %")
                .collect(Collectors.joining(", "));
    }
}
