package instep.rehearsal;

import instep.config.AngleSettings;
import instep.config.Settings;
import instep.gear.GearSettings;
import instep.gear.Message;
import instep.input.PerformanceException;
import instep.machine.Vocabulary;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/**
 * What became of a scenario: each expected line and each line that came, matched in the order of time. Cuts, takes, marks and faults count always, lines of
 * another kind where the scenario expects one of that kind.
 */
public final class Verdict {
    private static final int USUAL_DECIMALS = 3;

    private final List<String> report = new ArrayList<>();
    private final List<Scenario.Expected> expected;
    private final List<Line> came;
    private int passed;
    private int failed;

    private Verdict(List<Scenario.Expected> expected, List<Line> came) {
        this.expected = expected;
        this.came = came;
    }

    /** Plays the scenario; throws if it names what the settings do not have, or says nothing to expect. */
    public static Verdict of(Scenario scenario, Settings settings) throws PerformanceException {
        List<Scenario.Expected> expected = scenario.expected()
                .orElseThrow(() -> new PerformanceException(
                        scenario.name(),
                        0,
                        "there is no line " + Scenario.EXPECT + " with what should happen below it"));
        Names names = new Names(scenario.name(), settings);
        List<Scenario.Expected> known = new ArrayList<>();
        for (Scenario.Expected line : expected) {
            known.add(names.checked(line));
        }
        List<Line> came = new ArrayList<>();
        scenario.play(settings, came::add);
        Set<Line.Kind> counting = EnumSet.noneOf(Line.Kind.class);
        known.forEach(line -> counting.add(line.kind()));
        came.removeIf(line -> !line.kind().alwaysCounts() && !counting.contains(line.kind()));
        came.sort(Comparator.comparingLong(Line::nanos));
        Verdict verdict = new Verdict(known, came);
        verdict.match();
        return verdict;
    }

    /** A line for each that was expected or came. */
    public List<String> report() {
        return report;
    }

    public int passed() {
        return passed;
    }

    public int failed() {
        return failed;
    }

    /** The longest common sequence: one wrong line does not throw out those that follow. */
    private void match() {
        int[][] common = new int[expected.size() + 1][came.size() + 1];
        for (int e = expected.size() - 1; e >= 0; e--) {
            for (int c = came.size() - 1; c >= 0; c--) {
                common[e][c] = matches(expected.get(e), came.get(c))
                        ? common[e + 1][c + 1] + 1
                        : Math.max(common[e + 1][c], common[e][c + 1]);
            }
        }
        int e = 0;
        int c = 0;
        while (e < expected.size() || c < came.size()) {
            if (e < expected.size() && c < came.size() && matches(expected.get(e), came.get(c))) {
                passed++;
                report.add(row("ok", came.get(c).nanos(), came.get(c).told(), ""));
                e++;
                c++;
            } else if (c == came.size() || (e < expected.size() && isNext(common, e, c))) {
                missing(expected.get(e++));
            } else {
                failed++;
                report.add(row("unexpected", came.get(c).nanos(), came.get(c).told(), ""));
                c++;
            }
        }
    }

    /** Among equals, the earlier comes first. */
    private boolean isNext(int[][] common, int e, int c) {
        int without = common[e + 1][c] - common[e][c + 1];
        return without > 0
                || (without == 0 && expected.get(e).nanos() <= came.get(c).nanos());
    }

    private void missing(Scenario.Expected line) {
        failed++;
        String told = line.kind().word() + " " + line.words();
        Optional<Line> elsewhere = came.stream()
                .filter(other -> other.told().equals(told))
                .filter(other -> expected.stream().noneMatch(wanted -> matches(wanted, other)))
                .min(Comparator.comparingLong(other -> Math.abs(other.nanos() - line.nanos())));
        String when = elsewhere
                .map(other -> ", it came at " + Line.time(other.nanos()))
                .orElse("");
        report.add(row("missing", line.nanos(), told, "line " + line.line() + when));
    }

    /** The time is compared with as many decimals as were written, but at least with three. */
    private static boolean matches(Scenario.Expected expected, Line line) {
        long unit = 1;
        for (int i = Math.max(USUAL_DECIMALS, expected.decimals()); i < 9; i++) {
            unit *= 10;
        }
        return 2 * Math.abs(expected.nanos() - line.nanos()) <= (unit == 1 ? 0 : unit)
                && expected.kind() == line.kind()
                && expected.words().equals(line.words());
    }

    private static String row(String word, long nanos, String told, String remark) {
        String row = String.format("  %-10s %10s  %s", word, Line.time(nanos), told);
        return remark.isEmpty() ? row : String.format("%-55s  (%s)", row, remark);
    }

    /** Whether what is expected can come at all. */
    private record Names(String file, Settings settings) {
        Scenario.Expected checked(Scenario.Expected line) throws PerformanceException {
            switch (line.kind()) {
                case CUT, CONFIRMED ->
                    require(
                            line,
                            line.words(),
                            settings.angles().stream().map(AngleSettings::name).toList());
                case SEND ->
                    require(
                            line,
                            line.words(),
                            settings.messages().stream().map(Message::name).toList());
                case SAY ->
                    require(
                            line,
                            line.words().split(" ", 2)[0],
                            settings.gear().stream().map(GearSettings::name).toList());
                case GESTURE -> {
                    return gesture(line, settings.vocabulary());
                }
                case EDGE, NEWS, TRANSITION, RETURN, TAKE, MARK, FAULT -> {}
            }
            return line;
        }

        /** In a scenario as in the mapping, a contact goes by its own name where that is enough. */
        private Scenario.Expected gesture(Scenario.Expected line, Vocabulary vocabulary) throws PerformanceException {
            String full = vocabulary
                    .canonical(line.words())
                    .orElseThrow(() -> fault(line, "\"" + line.words() + "\" is no gesture of this configuration"));
            return new Scenario.Expected(line.line(), line.nanos(), line.decimals(), line.kind(), full);
        }

        private void require(Scenario.Expected line, String word, List<String> known) throws PerformanceException {
            if (!known.contains(word)) {
                String has = known.isEmpty() ? "none" : String.join(", ", known);
                throw fault(
                        line,
                        "\"" + word + "\" cannot come after " + line.kind().word() + "; the configuration has " + has);
            }
        }

        private PerformanceException fault(Scenario.Expected line, String sentence) {
            return new PerformanceException(file, line.line(), sentence);
        }
    }
}
