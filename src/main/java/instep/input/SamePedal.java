package instep.input;

import instep.gesture.Moves;
import java.util.List;
import java.util.function.ToIntFunction;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** Whether two pedal units of two configurations are the same device, read in the same way, whatever numbers their contacts bear. */
public final class SamePedal {
    private SamePedal() {}

    /** Whether one can go on where the other was. */
    public static boolean areSame(PedalSettings one, PedalSettings other) {
        return counted(one).equals(counted(other));
    }

    /** The lowest number of a contact; 0 if there is none. */
    static int first(PedalSettings settings) {
        IntStream numbers;
        if (settings instanceof PedalSettings.Events events) {
            numbers = Stream.of(
                            numbers(events.keys(), PedalSettings.Key::contact),
                            numbers(events.axes(), PedalSettings.Axis::contact),
                            numbers(events.steps(), PedalSettings.WheelStep::contact))
                    .flatMapToInt(some -> some);
        } else if (settings instanceof PedalSettings.Reports reports) {
            numbers = IntStream.concat(
                    numbers(reports.bits(), PedalSettings.ReportBits::contact),
                    numbers(reports.usages(), PedalSettings.ReportUsage::contact));
        } else if (settings instanceof PedalSettings.Midi midi) {
            numbers = numbers(midi.contacts(), PedalSettings.MidiContact::contact);
        } else if (settings instanceof PedalSettings.Network network) {
            numbers = numbers(network.contacts(), NetContact::contact);
        } else {
            numbers = numbers(((PedalSettings.Performed) settings).contacts(), PedalSettings.Named::contact);
        }
        return numbers.min().orElse(0);
    }

    private static <T> IntStream numbers(List<T> contacts, ToIntFunction<T> number) {
        return contacts.stream().mapToInt(number);
    }

    /** With its contacts numbered from 0. */
    private static PedalSettings counted(PedalSettings settings) {
        int first = first(settings);
        if (settings instanceof PedalSettings.Events of) {
            return new PedalSettings.Events(
                    of.name(),
                    of.match(),
                    of.grab(),
                    of.keys().stream()
                            .map(key -> new PedalSettings.Key(key.contact() - first, key.code()))
                            .toList(),
                    of.axes().stream()
                            .map(axis -> new PedalSettings.Axis(
                                    axis.contact() - first, axis.code(), axis.threshold(), some(axis.moves())))
                            .toList(),
                    of.steps().stream()
                            .map(step -> new PedalSettings.WheelStep(step.contact() - first, step.code(), step.up()))
                            .toList());
        } else if (settings instanceof PedalSettings.Reports of) {
            return counted(of, first);
        } else if (settings instanceof PedalSettings.Midi of) {
            return new PedalSettings.Midi(
                    of.name(),
                    of.match(),
                    of.contacts().stream()
                            .map(one -> new PedalSettings.MidiContact(
                                    one.contact() - first,
                                    one.signal(),
                                    one.channel(),
                                    one.number(),
                                    one.threshold(),
                                    some(one.moves())))
                            .toList());
        } else if (settings instanceof PedalSettings.Network of) {
            return new PedalSettings.Network(
                    of.name(),
                    of.port(),
                    of.contacts().stream()
                            .map(one -> new NetContact(
                                    one.contact() - first,
                                    one.closed(),
                                    one.open(),
                                    one.step(),
                                    one.threshold(),
                                    some(one.moves())))
                            .toList());
        }
        PedalSettings.Performed of = (PedalSettings.Performed) settings;
        return new PedalSettings.Performed(
                of.name(),
                of.file(),
                of.contacts().stream()
                        .map(named -> new PedalSettings.Named(named.contact() - first, named.name()))
                        .toList());
    }

    private static PedalSettings counted(PedalSettings.Reports of, int first) {
        return new PedalSettings.Reports(
                of.name(),
                of.match(),
                of.page(),
                of.bits().stream()
                        .map(bits -> new PedalSettings.ReportBits(
                                bits.contact() - first, bits.report(), bits.byteIndex(), bits.mask(), bits.equals()))
                        .toList(),
                of.usages().stream()
                        .map(usage -> new PedalSettings.ReportUsage(
                                usage.contact() - first,
                                usage.report(),
                                usage.usage(),
                                usage.threshold(),
                                some(usage.moves())))
                        .toList());
    }

    /** The device is only asked for its positions; where they go, and how often, is none of its business. */
    private static @Nullable Moves some(@Nullable Moves moves) {
        return moves == null ? null : new Moves(0, moves.scale(), 1);
    }
}
