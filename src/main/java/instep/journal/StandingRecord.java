package instep.journal;

import instep.machine.Whereabouts;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/** The record of where the machine stands in an open take: written and read. */
public final class StandingRecord {
    /** As {@code hands in rolling on floor.middle.press until floor.middle.press by floor.middle.press}. */
    private static final Pattern ASKED = Pattern.compile("(?<angle>\\S+)(?: in (?<state>\\S+))?"
            + "(?: (?<words>(?:on .+? )?until .+?)(?: by (?<by>.+?))?(?: ends (?<due>-?\\d{1,18}))?)?");

    private StandingRecord() {}

    /** That record. */
    public static Happening of(Whereabouts standing) {
        Optional<Whereabouts.Act> home =
                standing.acts().stream().filter(act -> act.detour() == null).reduce((older, newer) -> newer);
        return new Happening(
                Kind.STANDING,
                Key.TAKE,
                standing.take(),
                Key.BEGAN,
                standing.began(),
                Key.ACTIVE,
                String.join(" ", standing.active()),
                Key.ANGLE,
                home.map(Whereabouts.Act::angle).orElse(null),
                Key.OF,
                home.map(Whereabouts.Act::state).orElse(null),
                Key.ASKED,
                standing.acts().stream().map(StandingRecord::line).collect(Collectors.joining("\n")),
                Key.LATCHED,
                String.join(" ", standing.latched()),
                Key.CHAPTER,
                standing.chapter(),
                Key.VALUES,
                values(standing.values()));
    }

    private static String line(Whereabouts.Act act) {
        Whereabouts.Detour detour = act.detour();
        return act.angle()
                + said(" in ", act.state())
                + (detour == null
                        ? ""
                        : " " + detour.words()
                                + said(" by ", detour.by())
                                + said(" ends ", detour.due() == Long.MAX_VALUE ? null : detour.due()));
    }

    private static String said(String word, @Nullable Object what) {
        return what == null ? "" : word + what;
    }

    private static String values(Map<String, String> values) {
        return values.entrySet().stream()
                .sorted(Map.Entry.comparingByKey())
                .map(value -> value.getKey() + "=" + escaped(value.getValue()))
                .collect(Collectors.joining("\n"));
    }

    /** What such a record says; one of an earlier version tells of one angle only, and not when the take began. */
    public static Whereabouts read(Entry entry) {
        return new Whereabouts(
                words(entry.text(Key.ACTIVE).orElse("")),
                entry.text(Key.ASKED).map(StandingRecord::acts).orElseGet(() -> home(entry)),
                words(entry.text(Key.LATCHED).orElse("")),
                entry.number(Key.TAKE).orElse(0),
                entry.number(Key.BEGAN).orElse(entry.mono()),
                entry.number(Key.CHAPTER).orElse(0),
                values(entry));
    }

    private static List<String> words(String text) {
        return Arrays.stream(text.split(" ", -1))
                .filter(word -> !word.isEmpty())
                .toList();
    }

    private static List<Whereabouts.Act> home(Entry entry) {
        return entry.text(Key.ANGLE).stream()
                .map(angle -> new Whereabouts.Act(angle, entry.text(Key.OF).orElse(null), null))
                .toList();
    }

    /** A line that cannot be read asks for nothing. */
    private static List<Whereabouts.Act> acts(String lines) {
        return lines.lines()
                .map(ASKED::matcher)
                .filter(Matcher::matches)
                .map(line -> new Whereabouts.Act(
                        Objects.requireNonNull(line.group("angle")), line.group("state"), detour(line)))
                .toList();
    }

    private static Whereabouts.@Nullable Detour detour(Matcher line) {
        String words = line.group("words");
        String due = line.group("due");
        return words == null
                ? null
                : new Whereabouts.Detour(words, line.group("by"), due == null ? Long.MAX_VALUE : Long.parseLong(due));
    }

    private static Map<String, String> values(Entry entry) {
        Map<String, String> values = new LinkedHashMap<>();
        for (String line : entry.text(Key.VALUES).orElse("").split("\n", -1)) {
            int sign = line.indexOf('=');
            if (sign > 0) {
                values.put(line.substring(0, sign), plain(line.substring(sign + 1)));
            }
        }
        return values;
    }

    private static String escaped(String text) {
        return text.replace("\\", "\\\\").replace("\n", "\\n");
    }

    private static String plain(String text) {
        StringBuilder out = new StringBuilder();
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            if (c == '\\' && i + 1 < text.length()) {
                out.append(text.charAt(++i) == 'n' ? '\n' : text.charAt(i));
            } else {
                out.append(c);
            }
        }
        return out.toString();
    }
}
