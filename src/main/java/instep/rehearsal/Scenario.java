package instep.rehearsal;

import instep.config.Settings;
import instep.daemon.Player;
import instep.daemon.Switchboard;
import instep.gear.GearListener.LinkState;
import instep.gear.GearSettings;
import instep.gesture.Contact;
import instep.input.InputListener.DeviceState;
import instep.input.PedalSettings;
import instep.input.Performance;
import instep.input.PerformanceException;
import instep.time.Elapsed;
import instep.time.TimeSyntaxException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;

/**
 * What is done to a mapping and what is expected of it, as a text: a performance, in which gear and pedals may also go and come, and after a line
 * {@code expect:} what has to happen. Immutable.
 *
 * @param name the file as the user named it
 * @param doings in the order of time
 * @param expected in the order of time; empty if nothing was said
 */
public record Scenario(String name, List<Doing> doings, Optional<List<Expected>> expected) {
    /** Lines in a file before those that say what to expect. */
    static final String EXPECT = "expect:";

    private static final List<String> NEWS = List.of("up", "lost", "refused", "silent");

    private static final String SAYS = "says";

    public Scenario {
        doings = List.copyOf(doings);
        expected = expected.map(List::copyOf);
    }

    /**
     * A contact, gear or pedal unit does something.
     *
     * @param words what gear says; empty, if it says nothing
     */
    public record Doing(int line, long nanos, String who, String what, String words) {}

    /**
     * A line that must come.
     *
     * @param decimals how many of the time's were written; as many are compared
     */
    record Expected(int line, long nanos, int decimals, Line.Kind kind, String words) {}

    /** Reads a file in UTF-8. */
    public static Scenario read(Path file) throws PerformanceException {
        return parse(file.toString(), Performance.text(file));
    }

    /** Reads a text that came from the file {@code name}; throws at the first line that is neither. */
    public static Scenario parse(String name, String text) throws PerformanceException {
        List<Doing> doings = new ArrayList<>();
        List<Expected> expected = new ArrayList<>();
        boolean expecting = false;
        long before = 0;
        String[] lines = text.replaceFirst("^\uFEFF", "").split("\\R", -1);
        for (int i = 0; i < lines.length; i++) {
            String line = lines[i].replaceFirst("(^|\\s)#.*", "").strip();
            if (line.equals(EXPECT) && !expecting) {
                expecting = true;
            } else if (!line.isEmpty() && expecting) {
                expected.add(expected(name, i + 1, line));
            } else if (!line.isEmpty()) {
                Doing doing = doing(name, i + 1, line);
                if (doing.nanos < before) {
                    String back = Elapsed.text(doing.nanos) + " comes after " + Elapsed.text(before);
                    throw new PerformanceException(name, i + 1, "time goes back: " + back);
                }
                before = doing.nanos;
                doings.add(doing);
            }
        }
        // A mark or cut may be stamped before what was told last.
        expected.sort(Comparator.comparingLong(Expected::nanos));
        return new Scenario(name, doings, expecting ? Optional.of(expected) : Optional.empty());
    }

    private static Doing doing(String file, int number, String line) throws PerformanceException {
        String[] words = line.split("\\s+");
        if (words.length == 3 && NEWS.contains(words[2])) {
            return new Doing(number, nanos(file, number, words[0]), words[1], words[2], "");
        }
        if (words.length > 3 && words[2].equals(SAYS)) {
            String said = line.split("\\s+", 4)[3];
            return new Doing(number, nanos(file, number, words[0]), words[1], SAYS, said);
        }
        Performance.Edge edge = edge(file, number, line);
        return new Doing(number, edge.nanos(), edge.contact(), edge.closed() ? "close" : "open", "");
    }

    /** By the performance's own reader, which is given a file with just this line in it. */
    private static Performance.Edge edge(String file, int number, String line) throws PerformanceException {
        try {
            return Performance.parse(file, line).edges().get(0);
        } catch (PerformanceException e) {
            String hint = isWhatHappens(line) ? "; what should happen comes below a line " + EXPECT : "";
            throw new PerformanceException(file, number, e.sentence() + hint);
        }
    }

    private static boolean isWhatHappens(String line) {
        String[] words = line.split("\\s+", 3);
        return words.length == 3
                && Arrays.stream(Line.Kind.values())
                        .anyMatch(kind -> kind.word().equals(words[1]));
    }

    private static Expected expected(String file, int number, String line) throws PerformanceException {
        String[] words = line.split("\\s+", 3);
        if (words.length < 3) {
            throw new PerformanceException(file, number, "expected a time, a word and what, such as: 7.500 cut wheel");
        }
        for (Line.Kind kind : Line.Kind.values()) {
            if (kind.word().equals(words[1])) {
                String what = words[2].replaceAll("\\s+", " ");
                boolean begins = kind == Line.Kind.TAKE && what.matches("[0-9]+");
                int point = words[0].indexOf('.');
                int decimals = point < 0 ? 0 : words[0].length() - point - 1;
                long nanos = nanos(file, number, words[0]);
                return new Expected(number, nanos, decimals, kind, begins ? what + " begins" : what);
            }
        }
        throw new PerformanceException(
                file,
                number,
                "\"" + words[1]
                        + "\" cannot be expected; expected cut, take, mark, confirmed, send, say, gesture, transition, return"
                        + " or fault");
    }

    private static long nanos(String file, int line, String word) throws PerformanceException {
        try {
            return Elapsed.parse(word);
        } catch (TimeSyntaxException e) {
            throw new PerformanceException(file, line, String.valueOf(e.getMessage()));
        }
    }

    /** When nothing more is of interest: a while after its last line. */
    long end() {
        long last = doings.isEmpty() ? 0 : doings.get(doings.size() - 1).nanos;
        List<Expected> lines = expected.orElse(List.of());
        return Math.max(last, lines.isEmpty() ? 0 : lines.get(lines.size() - 1).nanos) + Player.TAIL_NANOS;
    }

    /** Does it all in virtual time, at once; throws at the first line that names what the settings do not have. */
    public void play(Settings settings, Consumer<Line> lines) throws PerformanceException {
        VirtualTime time = new VirtualTime(0, 0);
        Rehearsal rehearsal = new Rehearsal(settings, time, lines);
        rehearsal.switchboard().gear().rollCheckOnly(speaking(settings));
        List<Runnable> tasks = new ArrayList<>();
        for (Doing doing : doings) {
            tasks.add(task(doing, settings, rehearsal.switchboard()));
        }
        time.at(0, rehearsal::beginWithPedals);
        for (int i = 0; i < tasks.size(); i++) {
            time.at(doings.get(i).nanos, tasks.get(i));
        }
        time.at(end(), () -> rehearsal.switchboard().settle(end()));
    }

    /** A recorder that says nothing at all in a scenario is taken to do as it is told. */
    private BitSet speaking(Settings settings) {
        List<String> names = settings.gear().stream().map(GearSettings::name).toList();
        BitSet speaking = new BitSet();
        doings.stream()
                .filter(doing -> doing.what.equals(SAYS) && names.contains(doing.who))
                .forEach(doing -> speaking.set(names.indexOf(doing.who)));
        return speaking;
    }

    private Runnable task(Doing doing, Settings settings, Switchboard to) throws PerformanceException {
        int gear = settings.gear().stream().map(GearSettings::name).toList().indexOf(doing.who);
        int pedal = settings.pedals().stream().map(PedalSettings::name).toList().indexOf(doing.who);
        Optional<Integer> contact = settings.contact(doing.who);
        return switch (doing.what) {
            case "close", "open" -> {
                int number = contact.orElseThrow(() -> unknown(doing, "contact", names(settings.contacts())));
                yield () -> to.pedals().edge(number, doing.what.equals("close"), false, doing.nanos);
            }
            case "refused", "silent", SAYS -> {
                require(
                        gear >= 0,
                        doing,
                        "gear",
                        settings.gear().stream().map(GearSettings::name).toList());
                yield doing.what.equals(SAYS)
                        ? () -> to.gear().reply(gear, -1, doing.words, doing.nanos)
                        : () -> to.gear().refused(gear, 0, doing.what.equals("silent"), null);
            }
            default -> {
                require(gear >= 0 || pedal >= 0, doing, "gear or pedal", all(settings));
                boolean up = doing.what.equals("up");
                yield gear >= 0
                        ? () -> to.gear().link(gear, up ? LinkState.UP : LinkState.LOST, "as the scenario has it")
                        : () -> to.pedals().device(pedal, up ? DeviceState.UP : DeviceState.ABSENT, "", doing.nanos);
            }
        };
    }

    private static List<String> names(List<Contact> contacts) {
        return contacts.stream().map(Contact::fullName).toList();
    }

    private static List<String> all(Settings settings) {
        List<String> all =
                new ArrayList<>(settings.gear().stream().map(GearSettings::name).toList());
        settings.pedals().forEach(pedal -> all.add(pedal.name()));
        return all;
    }

    private void require(boolean found, Doing doing, String what, List<String> known) throws PerformanceException {
        if (!found) {
            throw unknown(doing, what, known);
        }
    }

    private PerformanceException unknown(Doing doing, String what, List<String> known) {
        return new PerformanceException(
                name,
                doing.line,
                "the configuration has no " + what + " \"" + doing.who + "\"; it has " + String.join(", ", known));
    }
}
