package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.gesture.Timing;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;

/** Reads the contacts of one device: the signal that each of them is. */
final class ContactReader {
    static final List<String> KEYS = Stream.concat(SignalKind.keys().stream(), TimingReader.KEYS.stream())
            .toList();

    private final Scalars scalars;
    private final Signals signals;
    private final EventSignals events;
    private final ReportSignals reports;
    private final MidiSignals midi;

    ContactReader(Scalars scalars, KeyCodes codes, MessageReader messages) {
        this.scalars = scalars;
        signals = new Signals(scalars);
        MovesReader moves = new MovesReader(scalars, messages);
        events = new EventSignals(scalars, codes, signals, moves);
        reports = new ReportSignals(scalars, signals, moves);
        midi = new MidiSignals(scalars, signals, moves);
    }

    EventSignals events() {
        return events;
    }

    ReportSignals reports() {
        return reports;
    }

    MidiSignals midi() {
        return midi;
    }

    /** Reads a contact that bears the number; gives its own thresholds of time. */
    Timing read(int number, Entry entry, Timing otherwise) {
        String what = "contact " + Words.quote(entry.name());
        Fields fields = Fields.of(entry.place(), what, asMap(entry), KEYS, scalars);
        Optional<SignalKind> kind = SignalKind.of(fields);
        if (kind.isEmpty() && !fields.isBroken()) {
            scalars.faults()
                    .add(
                            entry.place(),
                            what + " has no signal; expected key, axis, wheel, usage, byte, note,"
                                    + " controller or program");
        }
        kind.ifPresent(known -> {
            known.refuseOthers(fields);
            if (signals.fits(known, entry)) {
                read(known, number, fields, entry);
            }
        });
        boolean isStep = kind.equals(Optional.of(SignalKind.WHEEL)) || kind.equals(Optional.of(SignalKind.PROGRAM));
        String step = kind.equals(Optional.of(SignalKind.PROGRAM)) ? "change of program" : "step of a wheel";
        return isStep ? stepTiming(fields, step, otherwise) : TimingReader.read(fields, otherwise, scalars);
    }

    private void read(SignalKind kind, int number, Fields fields, Entry entry) {
        switch (kind) {
            case KEY -> events.key(number, fields, entry);
            case AXIS -> events.axis(number, fields, entry);
            case WHEEL -> events.wheel(number, fields, entry);
            case USAGE -> reports.usage(number, fields, entry);
            case BYTE -> reports.bits(number, fields, entry);
            case NOTE -> midi.note(number, fields, entry);
            case CONTROLLER -> midi.controller(number, fields, entry);
            case PROGRAM -> midi.program(number, fields, entry);
        }
    }

    /** A step closes and opens in the same instant: what waits for a bounce would swallow the next one. */
    private Timing stepTiming(Fields fields, String what, Timing otherwise) {
        Stream.of("debounce", "hold", "lift-grace").forEach(key -> fields.refuse(key, "a " + what + " lasts no time"));
        return new Timing(0, otherwise.hold(), fields.nanos("double-tap", otherwise.doubleTap()), 0);
    }

    /** A lone word is its key. */
    private static Node asMap(Entry entry) {
        return entry.value() instanceof Scalar scalar && !scalar.isNull()
                ? new Mapping(
                        scalar.place(), List.of(new Entry(new Scalar(scalar.place(), "key", true), scalar)), false)
                : entry.value();
    }
}
