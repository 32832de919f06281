package instep.machine;

import instep.gesture.Contact;
import instep.gesture.Timing;
import instep.time.FrameRate;
import java.math.BigDecimal;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * A chart in few lines, for tests: what stands deeper is inside.
 *
 * <pre>
 * state a initial a2 angle wide rolling
 *   enter raise x                              and: exit ...
 *   on e, f.g if in(b) -> c d internal angle wheel until left.release do raise y; mark retake
 *   on e until 4s angle hands after 1s
 *   always if n &gt; 3 -> c
 *   history h -> a2                            and: deep history
 *   state a2
 *   final a3
 * parallel p
 * var n 0 0 10                                 its bounds last, or none
 * </pre>
 *
 * The pedal {@code floor} has the contacts {@code left}, {@code middle} and {@code right}, {@code box} has {@code red}; the angles are
 * {@code wide}, {@code wheel}, {@code hands} and {@code glaze}, the messages {@code roll} and {@code stop}, the gear is {@code mixer}. The events
 * {@code e}, {@code f}, {@code f.g}, {@code f.g.h}, {@code k} and every other that a transition names can occur.
 */
final class ChartText {
    static final List<String> ANGLES = List.of("wide", "wheel", "hands", "glaze");
    static final List<String> MESSAGES = List.of("roll", "stop");
    static final List<Contact> CONTACTS = List.of(
            new Contact("floor", "left", Timing.DEFAULT),
            new Contact("floor", "middle", Timing.DEFAULT),
            new Contact("floor", "right", Timing.DEFAULT),
            new Contact("box", "red", Timing.DEFAULT));

    private static final Pattern PARTS = Pattern.compile("(?:on (?<events>.*?)|always)"
            + "(?: if (?<cond>.*?))?(?: -> (?<targets>.*?))?(?<internal> internal)?(?: angle (?<angle>\\w+))?"
            + "(?: until (?<until>.*?))?(?: after (?<after>\\w+))?(?: do (?<actions>.*))?");

    private final List<Variable> variables = new ArrayList<>();
    private final Set<String> others = new LinkedHashSet<>(List.of("e", "f", "f.g", "f.g.h", "k"));
    private final List<String> said;

    private ChartText(String text) {
        said = text.lines().filter(line -> !line.isBlank()).toList();
    }

    /** Compiles the chart; the root is called {@code machine} and has what the text says as children. */
    static Chart compile(String text) throws InvalidChartException {
        return new ChartText(text).compile();
    }

    /** The same, where the chart is sound. */
    static Chart of(String text) {
        try {
            return compile(text);
        } catch (InvalidChartException e) {
            throw new IllegalArgumentException(e);
        }
    }

    private Chart compile() throws InvalidChartException {
        Open root = new Open(-1, 0, "state machine");
        Deque<Open> open = new ArrayDeque<>(List.of(root));
        for (int i = 0; i < said.size(); i++) {
            String line = said.get(i);
            int indent = line.length() - line.stripLeading().length();
            while (open.element().indent >= indent) {
                close(open);
            }
            read(line.trim(), new Open(indent, i + 1, line.trim()), open);
        }
        while (open.size() > 1) {
            close(open);
        }
        Vocabulary vocabulary = Vocabulary.of(CONTACTS, List.of("mixer"), List.copyOf(others), FrameRate.R25);
        return Chart.of(root.node(vocabulary), vocabulary, ANGLES, MESSAGES, variables);
    }

    private static void close(Deque<Open> open) {
        Open closed = open.pop();
        open.element().children.add(closed);
    }

    private void read(String line, Open here, Deque<Open> open) {
        if (line.startsWith("var ")) {
            String[] words = line.split(" ");
            Object initial = constant(words[2]);
            variables.add(
                    words.length == 3
                            ? Variable.of(words[1], initial)
                            : new Variable(words[1], initial, Long.parseLong(words[3]), Long.parseLong(words[4])));
        } else if (line.startsWith("enter ")) {
            open.element().onEntry.addAll(actions(line.substring(6)));
        } else if (line.startsWith("exit ")) {
            open.element().onExit.addAll(actions(line.substring(5)));
        } else if (line.startsWith("on ") || line.startsWith("always")) {
            noteEvents(line);
            open.element().transitions.add(here);
        } else {
            open.push(here);
        }
    }

    private void noteEvents(String line) {
        Matcher parts = parts(line);
        List<String> all = new ArrayList<>(list(parts.group("events")));
        all.addAll(list(parts.group("until")));
        for (String event : all) {
            String plain = event.replaceFirst("\\.\\*$", "");
            boolean known = plain.equals("*") || plain.startsWith("done") || plain.startsWith("unknown");
            boolean gesture = plain.matches("(floor|box|left|middle|right|red|mixer)\\b.*") || plain.matches("\\d+m?s");
            if (!known && !gesture) {
                others.add(plain);
            }
        }
    }

    private static Matcher parts(String line) {
        Matcher parts = PARTS.matcher(line);
        if (!parts.matches()) {
            throw new IllegalArgumentException(line);
        }
        return parts;
    }

    private static List<String> list(@Nullable String names) {
        return names == null ? List.of() : List.of(names.split(", "));
    }

    private static List<Action> actions(@Nullable String text) {
        List<Action> actions = new ArrayList<>();
        for (String action : text == null ? new String[0] : text.split("; ")) {
            String[] words = action.split(" ", 3);
            actions.add(
                    switch (words[0]) {
                        case "raise" -> new Action.Raise(words[1]);
                        case "send" -> new Action.Send(words[1]);
                        case "mark" -> new Action.Mark(words[1], words.length > 2 ? Template.parse(words[2]) : null);
                        case "add" -> new Action.Set(words[1], new Action.Assignment.Add(Long.parseLong(words[2])));
                        case "set" -> new Action.Set(words[1], new Action.Assignment.Constant(constant(words[2])));
                        case "text" -> new Action.Set(words[1], new Action.Assignment.Text(Template.parse(words[2])));
                        default -> throw new IllegalArgumentException(action);
                    });
        }
        return actions;
    }

    private static Object constant(String text) {
        if (text.matches("-?\\d+")) {
            return Long.parseLong(text);
        }
        return text.equals("true") || text.equals("false") ? (Object) Boolean.parseBoolean(text) : text;
    }

    private static Cond cond(@Nullable String text) {
        if (text == null) {
            return Cond.ALWAYS;
        } else if (text.contains(" and ")) {
            return new Cond.All(
                    List.of(text.split(" and ")).stream().map(ChartText::cond).toList());
        } else if (text.contains(" or ")) {
            return new Cond.Any(
                    List.of(text.split(" or ")).stream().map(ChartText::cond).toList());
        } else if (text.startsWith("not ")) {
            return new Cond.Not(cond(text.substring(4)));
        } else if (text.startsWith("in(")) {
            return new Cond.In(text.substring(3, text.length() - 1));
        }
        String[] words = text.split(" ");
        return switch (words[1]) {
            case "=" -> new Cond.Equals(words[0], constant(words[2]));
            case ">" -> new Cond.Above(words[0], Long.parseLong(words[2]));
            case "<" -> new Cond.Below(words[0], Long.parseLong(words[2]));
            default -> throw new IllegalArgumentException(text);
        };
    }

    static long nanos(String text) {
        int shift = text.endsWith("ms") ? 6 : 9;
        return new BigDecimal(text.replaceAll("m?s$", "")).movePointRight(shift).longValueExact();
    }

    private static TransitionNode transition(Open said, Vocabulary vocabulary) {
        Matcher parts = parts(said.line);
        String until = parts.group("until");
        boolean time = until != null && until.matches("[\\d.]+m?s");
        String targets = parts.group("targets");
        String after = parts.group("after");
        return new TransitionNode(
                said.place(),
                canonical(list(parts.group("events")), vocabulary),
                targets == null ? List.of() : List.of(targets.split(" ")),
                parts.group("internal") != null,
                parts.group("angle"),
                until == null || time ? List.of() : canonical(list(until), vocabulary),
                until != null && time ? nanos(until) : -1,
                after == null ? -1 : nanos(after),
                cond(parts.group("cond")),
                actions(parts.group("actions")));
    }

    private static List<String> canonical(List<String> events, Vocabulary vocabulary) {
        return events.stream()
                .map(event -> vocabulary.canonical(event).orElse(event))
                .toList();
    }

    /** A line that others may stand inside of. */
    private static final class Open {
        final int indent;
        final int number;
        final String line;
        final List<Action> onEntry = new ArrayList<>();
        final List<Action> onExit = new ArrayList<>();
        final List<Open> transitions = new ArrayList<>();
        final List<Open> children = new ArrayList<>();

        Open(int indent, int number, String line) {
            this.indent = indent;
            this.number = number;
            this.line = line;
        }

        Place place() {
            return new Place("chart", number, Math.max(indent, 0) + 1);
        }

        StateNode node(Vocabulary vocabulary) {
            String rest = line.startsWith("deep ") ? line.substring(5) : line;
            String[] words = rest.split(" ");
            StateNode.Kind kind = switch (words[0]) {
                case "state" -> StateNode.Kind.STATE;
                case "parallel" -> StateNode.Kind.PARALLEL;
                case "final" -> StateNode.Kind.FINAL;
                case "history" -> rest.equals(line) ? StateNode.Kind.SHALLOW_HISTORY : StateNode.Kind.DEEP_HISTORY;
                default -> throw new IllegalArgumentException(line);
            };
            List<TransitionNode> out = new ArrayList<>();
            if (words[0].equals("history") && words.length > 2) {
                out.add(transition(
                        new Open(indent, number, "always " + rest.substring(rest.indexOf("->"))), vocabulary));
            }
            transitions.forEach(said -> out.add(transition(said, vocabulary)));
            return new StateNode(
                    place(),
                    words[1],
                    kind,
                    after(rest, "initial"),
                    after(rest, "angle"),
                    rest.endsWith(" rolling"),
                    onEntry,
                    onExit,
                    out,
                    children.stream().map(child -> child.node(vocabulary)).toList());
        }

        private static @Nullable String after(String line, String word) {
            Matcher found = Pattern.compile(" " + word + " (\\w+)").matcher(line);
            return found.find() ? found.group(1) : null;
        }
    }
}
