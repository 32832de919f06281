package instep.advice;

import instep.config.Overridden;
import instep.config.Settings;
import instep.config.TimecodeSettings;
import instep.gear.GearSettings;
import instep.gesture.Contact;
import instep.machine.Action;
import instep.machine.Chart;
import instep.machine.Place;
import instep.machine.StateNode;
import instep.machine.TransitionNode;
import instep.machine.Variable;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;

/** What a sound configuration does, for the person who wrote it: for each state, which gesture leads where, and what it waits for. */
public final class CheckReport {
    private final Settings settings;
    private final Chart chart;
    private final EventWords words;
    private final Waits waits;
    private final StringBuilder out = new StringBuilder();

    private CheckReport(Settings settings) {
        this.settings = settings;
        this.chart = settings.chart();
        words = new EventWords(settings.contacts());
        waits = new Waits(chart, words);
    }

    public static String of(Settings settings) {
        CheckReport report = new CheckReport(settings);
        report.summary();
        report.overridden();
        for (int state = 1; state < report.chart.stateCount(); state++) {
            report.state(state);
        }
        report.advice();
        return report.out.toString();
    }

    private void line(String text) {
        out.append(text.stripTrailing()).append(System.lineSeparator());
    }

    private void row(String left, String right) {
        line(String.format("  %-22s %s", left, right));
    }

    private void advice() {
        List<String> advice = CheckAdvice.of(settings);
        if (!advice.isEmpty()) {
            line("");
            line("Is this meant?");
            advice.forEach(sentence -> line("  " + sentence));
        }
    }

    private void summary() {
        line(settings.file() + " is sound.");
        line("  timecode  " + settings.timecode().rate().label() + ", " + sourceWords());
        line("  gear      "
                + listed(settings.gear().stream().map(CheckReport::gear).toList()));
        line("  angles    "
                + listed(settings.angles().stream()
                        .map(angle -> angle.name() + " (reel " + angle.reel() + ")")
                        .toList()));
        line("  contacts  "
                + listed(settings.contacts().stream().map(Contact::fullName).toList()));
        if (!chart.variables().isEmpty()) {
            line("  values    "
                    + listed(chart.variables().stream().map(CheckReport::value).toList()));
        }
    }

    private static String value(Variable variable) {
        String initial = variable.initial() instanceof String text
                ? "\"" + text + "\""
                : variable.initial().toString();
        boolean hasMin = variable.min() > Long.MIN_VALUE;
        boolean hasMax = variable.max() < Long.MAX_VALUE;
        return variable.name() + " (begins as " + initial + (hasMin ? ", at least " + variable.min() : "")
                + (hasMax ? ", at most " + variable.max() : "") + ")";
    }

    private void overridden() {
        List<Overridden> all = settings.overridden();
        if (!all.isEmpty()) {
            line("");
            line("Of several files, the later ones change this:");
        }
        for (Overridden one : all) {
            Place before = one.placeBefore();
            boolean isGone = one.value().isEmpty();
            String was = before == null
                    ? "; new"
                    : (isGone ? "; it was " : "; in place of ") + one.before() + " (" + at(before) + ")";
            line("  " + one.path() + (isGone ? " is taken away" : ": " + one.value()) + " (" + at(one.place()) + ")"
                    + was);
        }
    }

    private static String at(Place place) {
        return place.file() + ":" + place.line();
    }

    private String sourceWords() {
        TimecodeSettings timecode = settings.timecode();
        return switch (timecode.source()) {
            case TIME_OF_DAY -> "the time of day";
            case LTC ->
                "linear timecode from the pipe "
                        + Objects.requireNonNull(timecode.ltc()).pipe();
            case MTC ->
                "MIDI timecode from "
                        + Objects.requireNonNull(timecode.midi()).match().words();
            case GEAR ->
                "the own timecode of "
                        + Objects.requireNonNull(timecode.reported()).gear();
            case COUNT_UP -> "counted up from " + timecode.start();
        };
    }

    private static String gear(GearSettings gear) {
        return gear.name() + " (" + gear.address() + ")";
    }

    private static String listed(List<String> items) {
        return items.isEmpty() ? "none" : String.join(", ", items);
    }

    private void state(int number) {
        StateNode state = chart.state(number);
        line("");
        line(state.name() + stateWords(state, chart.parentOf(number)));
        for (Action action : state.onEntry()) {
            row("(on entry)", words.action(action));
        }
        for (TransitionNode transition : state.transitions()) {
            for (String event : transition.events().isEmpty() ? List.of("(by itself)") : transition.events()) {
                row(words.shortName(event), transition, waits.of(event, number));
            }
        }
        for (Action action : state.onExit()) {
            row("(on exit)", words.action(action));
        }
    }

    private String stateWords(StateNode state, int parent) {
        List<String> words = new ArrayList<>();
        if (parent > 0) {
            words.add("inside " + chart.state(parent).name());
        }
        if (state.angle() != null) {
            words.add("on air: " + state.angle());
        }
        if (state.rolling()) {
            words.add("a take is open");
        }
        return words.isEmpty() ? "" : "   (" + String.join("; ", words) + ")";
    }

    private void row(String event, TransitionNode transition, String when) {
        // What comes so much after its event says so itself.
        row(event, String.format("%-46s %s", words.what(transition), transition.afterNanos() >= 0 ? "" : when));
    }
}
