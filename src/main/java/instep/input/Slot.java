package instep.input;

import instep.input.InputListener.DeviceState;
import java.nio.file.Path;
import java.util.Optional;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/** A pedal unit of the configuration and the device that was found for it. Loop thread only. */
final class Slot {
    /** How the bytes of a MIDI device are read. */
    @FunctionalInterface
    interface MidiReadings {
        /** For a device that has sent nothing yet; {@code isStamped}: in frames with the kernel's time. */
        MidiReading of(PedalSettings.Midi pedal, boolean isStamped, InputListener listener);
    }

    final PedalSettings settings;
    /** Whether a timer is set to open it again. */
    boolean isRetried;

    final Wanted wanted;
    private final DeviceMatch match;
    private final Seat listener;

    private final MidiReadings midiReading;
    private @Nullable LoopSource source;
    private @Nullable DeviceNode device;
    /** Where its last device was plugged in: there it is looked for first, and others leave that place alone. */
    private String place = "";

    private @Nullable DeviceState state;
    private String detail = "";
    /** What keeps its device from being opened; empty if nothing is known to. */
    private String denial = "";

    Slot(PedalSettings settings, DeviceMatch match, Sysfs sysfs, Seat listener, MidiReadings midiReading) {
        this.settings = settings;
        this.match = match;
        wanted = new Wanted(settings, match, sysfs);
        this.listener = listener;
        this.midiReading = midiReading;
    }

    Seat seat() {
        return listener;
    }

    boolean readsEvents() {
        return settings instanceof PedalSettings.Events;
    }

    boolean readsReports() {
        return settings instanceof PedalSettings.Reports;
    }

    boolean readsMidi() {
        return settings instanceof PedalSettings.Midi;
    }

    boolean isUp() {
        return source != null;
    }

    /** Of the pedal unit. */
    String name() {
        return settings.name();
    }

    /** What it is known by from one run to the next: another match is another device. */
    String key() {
        return settings.name() + ": " + match.words();
    }

    /** Where its last device of this run was plugged in; empty if it had none. */
    String place() {
        return place;
    }

    int which() {
        return match.which();
    }

    /** Whether it has that device open. */
    boolean has(DeviceNode node) {
        return device != null && device.node().equals(node.node());
    }

    boolean matches(DeviceNode node) {
        return match.matches(node);
    }

    /** Whether both read devices in the same way. */
    boolean readsAs(Slot other) {
        return settings.getClass() == other.settings.getClass();
    }

    /** Whether both match the same devices, of which {@code which} tells them apart. */
    boolean countsWith(Slot other) {
        return readsAs(other) && match.alike().equals(other.match.alike());
    }

    /**
     * What the bytes of its device are decoded with, and in words for a person what that is.
     *
     * @param words which of its contacts are stuck or stood on; empty, or it begins with a semicolon
     */
    record Reader(LoopSource.Reading reading, String words) {}

    /**
     * What the bytes of a device are decoded with.
     *
     * @param node null for a descriptor that was attached, of which nothing more is known
     * @param isStamped of MIDI, whether there are frames
     */
    Reader reader(@Nullable DeviceNode node, EvdevDecoder.State state, long[] down, boolean isStamped) {
        if (settings instanceof PedalSettings.Reports reports) {
            return new Reader(new ReportReading(wanted.layout(reports, node), listener), "");
        }
        if (settings instanceof PedalSettings.Midi midi) {
            return new Reader(midiReading.of(midi, isStamped, listener), "");
        }
        EventContacts contacts = new EventContacts((PedalSettings.Events) settings, listener, state);
        String words =
                contacts.remarks(down).stream().map(remark -> "; " + remark).collect(Collectors.joining());
        return new Reader(new EventReading(contacts, state, down), words);
    }

    /** For a person: what is read from now on. */
    String reads(DeviceNode node, Reader reader) {
        boolean grabbed = settings instanceof PedalSettings.Events events && events.grab();
        return "reads " + node.words() + (grabbed ? ", grabbed" : "") + reader.words();
    }

    /** The path that it is found by, if it is. */
    Optional<Path> link() {
        return Optional.ofNullable(match.path()).map(Path::of);
    }

    void up(LoopSource reading, @Nullable DeviceNode from, String words) {
        source = reading;
        device = from;
        place = from == null ? place : Places.of(from);
        tell(DeviceState.UP, words);
    }

    /** The device vanished; gives what it was. */
    Optional<DeviceNode> vanished() {
        Optional<DeviceNode> was = Optional.ofNullable(device);
        source = null;
        device = null;
        tell(DeviceState.ABSENT, was.map(node -> node.words() + " is gone; ").orElse("") + waiting());
        return was;
    }

    String waiting() {
        return "waiting for " + match.words();
    }

    /** Tells of a state unless it was told already. */
    void tell(DeviceState now, String words) {
        if (now == state && (now == DeviceState.ABSENT || words.equals(detail))) {
            return;
        }
        state = now;
        detail = words;
        denial = now == DeviceState.DENIED ? words : "";
        listener.device(listener.pedal(), now, words, System.nanoTime());
    }

    /** Tells something of it that is no state. */
    void remark(String sentence) {
        listener.oddity(listener.pedal(), sentence, System.nanoTime());
    }

    /** Notes what keeps its device from being opened; {@link #tellDenied} tells of it. */
    void denied(String words) {
        denial = words;
    }

    /** Tells of a denial that still holds. */
    void tellDenied(String words) {
        if (!isUp() && words.equals(denial)) {
            tell(DeviceState.DENIED, words);
        }
    }

    /** Ends it without a word or an edge. */
    void close() {
        if (source != null) {
            source.close();
            source = null;
        }
    }
}
