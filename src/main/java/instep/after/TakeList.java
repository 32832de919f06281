package instep.after;

import instep.cutlist.Outage;
import instep.cutlist.Shot;
import instep.cutlist.Take;
import instep.cutlist.Takes;
import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.TakeEvents;
import instep.time.Durations;
import instep.time.FrameRate;
import java.util.ArrayDeque;
import java.util.Deque;
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
    private final Takes takes = new Takes(this::found);
    private final TakeEvents events = new TakeEvents(takes::accept);
    /** By part of a take, as runs have recorded it; of those that are not in the table yet. */
    private final Deque<Part> begun = new ArrayDeque<>();

    private FrameRate rate = FrameRate.R25;
    private @Nullable Part open;
    private String source = "";

    /** What is known of a part of a take, while it is read; a take that no later run has gone on with has one. */
    private static final class Part {
        private final FrameRate rate;
        private final String day;
        private final String from;
        private final String source;
        private final boolean resumed;
        private final Map<String, Integer> marks = new LinkedHashMap<>();
        /** What happened to its timecode, in the words of the journal. */
        private final Set<String> states = new LinkedHashSet<>();

        private int faults;

        Part(Entry opened, FrameRate rate, String source) {
            this.rate = rate;
            day = opened.at().substring(0, 10);
            from = opened.tc();
            resumed = opened.text(Key.RESUMED).isPresent();
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

        void goOnWith(Part later) {
            later.marks.forEach((mark, count) -> marks.merge(mark, count, Integer::sum));
            states.addAll(later.states);
            faults += later.faults;
        }
    }

    public void accept(Entry entry) {
        events.accept(entry);
        switch (entry.kind()) {
            case START -> {
                open = null;
                rate = entry.text(Key.RATE).flatMap(FrameRate::named).orElse(rate);
            }
            case SYNC -> {
                String clock = entry.text(Key.CLOCK).orElse("");
                source = entry.text(Key.SOURCE).orElse("") + (clock.equals("unsynchronized") ? ", no NTP" : "");
            }
            default -> {
                if (TakeEvents.isBeginning(entry)) {
                    open = new Part(entry, rate, source);
                    begun.add(open);
                }
            }
        }
        if (open != null) {
            open.accept(entry);
        }
        open = entry.kind() == Kind.TAKE_CLOSE ? null : open;
    }

    /** All that was given. */
    public String text() {
        events.end();
        takes.end();
        return out.isEmpty() ? String.format("No take was recorded.%n") : out.toString();
    }

    private void found(Take take) {
        if (out.isEmpty()) {
            out.append(String.format(
                    "%5s  %-10s  %-11s  %-12s %4s  %6s  %-19s  %-22s %s%n",
                    "take", "day", "from", "length", "cuts", "faults", "timecode", "marks", "on air"));
        }
        Part known = begun.remove();
        for (int part = 1; part < take.parts(); part++) {
            known.goOnWith(begun.remove());
        }
        row(take, known);
    }

    private void row(Take take, Part known) {
        String marks = known.marks.entrySet().stream()
                .map(mark -> mark.getKey() + " " + mark.getValue())
                .collect(Collectors.joining(", "));
        out.append(String.format(
                "%5d  %-10s  %-11s  %-12s %4d  %6s  %-19s  %-22s %s%s%s%n",
                take.number(),
                known.day,
                known.from,
                Durations.ofFrames(take.frames(), known.rate),
                Math.max(0, take.shots().size() - 1),
                known.faults == 0 ? "-" : String.valueOf(known.faults),
                known.timecode(),
                marks.isEmpty() ? "-" : marks,
                shares(take.shots(), take.frames()),
                resumed(take, known),
                take.closed() ? "" : " (never closed: it ends with the last that is known)"));
    }

    private static String resumed(Take take, Part known) {
        if (take.parts() == 1) {
            return known.resumed ? " (resumed, but its timecode did not go on: this is the rest of it)" : "";
        }
        long unknown = take.outages().stream().mapToLong(Outage::frames).sum();
        String times = take.parts() == 2
                ? "resumed after a gap of "
                : "resumed " + (take.parts() - 1) + " times, after gaps of ";
        return " (" + times + Durations.ofFrames(unknown, known.rate) + ")";
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
