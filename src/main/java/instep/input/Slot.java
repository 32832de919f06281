package instep.input;

import instep.input.InputListener.DeviceState;
import java.nio.file.Path;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** A pedal unit of the configuration and the device that was found for it. Loop thread only. */
final class Slot {
    final int pedal;
    final PedalSettings settings;
    /** Whether a timer is set to open it again. */
    boolean isRetried;

    private final DeviceMatch match;
    private final InputListener listener;

    private @Nullable LoopSource source;
    private @Nullable DeviceNode device;
    /** Where its last device was plugged in: there it is looked for first, and others leave that place alone. */
    private String place = "";

    private @Nullable DeviceState state;
    private String detail = "";
    /** What keeps its device from being opened; empty if nothing is known to. */
    private String denial = "";

    Slot(int pedal, PedalSettings settings, DeviceMatch match, InputListener listener) {
        this.pedal = pedal;
        this.settings = settings;
        this.match = match;
        this.listener = listener;
    }

    boolean readsKeys() {
        return settings instanceof PedalSettings.Keys;
    }

    boolean isUp() {
        return source != null;
    }

    /** The devices that match, in the order of where they are plugged in. */
    List<DeviceNode> matching(Collection<DeviceNode> nodes) {
        return nodes.stream()
                .filter(match::matches)
                .sorted(Comparator.comparing((DeviceNode node) -> sortable(node.phys()))
                        .thenComparing(node -> sortable(node.file())))
                .toList();
    }

    /** A key that is configured and that the device does not have. */
    Optional<String> lackingKey(DeviceNode node) {
        return settings instanceof PedalSettings.Keys keys
                ? keys.keys().stream()
                        .filter(key -> !node.hasKey(key.code()))
                        .map(key -> KeyNames.name(key.code()))
                        .findFirst()
                : Optional.empty();
    }

    /**
     * The device to open: the one where it was before, else the one that {@code which} counts to, else, if it was up
     * before and was plugged in elsewhere, the only one that is free.
     */
    Optional<DeviceNode> choose(List<DeviceNode> alike, List<Slot> all) {
        List<DeviceNode> free = alike.stream().filter(node -> isFree(node, all)).toList();
        Optional<DeviceNode> before = free.stream()
                .filter(node -> !place.isEmpty() && place.equals(placeOf(node)))
                .findFirst();
        if (before.isPresent()) {
            return before;
        }
        if (match.which() <= alike.size() && free.contains(alike.get(match.which() - 1))) {
            return Optional.of(alike.get(match.which() - 1));
        }
        return !place.isEmpty() && free.size() == 1 ? Optional.of(free.get(0)) : Optional.empty();
    }

    private boolean isFree(DeviceNode node, List<Slot> all) {
        return all.stream()
                .filter(other -> other != this && other.readsKeys() == readsKeys())
                .noneMatch(other -> other.claims(node));
    }

    private boolean claims(DeviceNode node) {
        return isUp()
                ? device != null && device.node().equals(node.node())
                : !place.isEmpty() && place.equals(placeOf(node)) && match.matches(node);
    }

    /** What the bytes of its device are decoded with. */
    LoopSource.Reading reading(EvdevDecoder.State state, long[] down) {
        return settings instanceof PedalSettings.Reports reports
                ? new ReportReading(reports, listener)
                : KeyReading.of((PedalSettings.Keys) settings, listener, state, down);
    }

    /** For a person: what is read from now on, and which of its keys are stuck or stood on. */
    String reads(DeviceNode node, long[] down) {
        StringBuilder words = new StringBuilder("reads ").append(node.words());
        if (settings instanceof PedalSettings.Keys keys) {
            words.append(keys.grab() ? ", grabbed" : "");
            keys.keys().stream()
                    .filter(key -> (down[key.code() / Long.SIZE] >>> key.code() & 1) != 0)
                    .forEach(key -> words.append("; ")
                            .append(KeyNames.name(key.code()))
                            .append(" is down already and counts from when it is next pressed"));
        }
        return words.toString();
    }

    /** The path that it is found by, if it is. */
    Optional<Path> link() {
        return Optional.ofNullable(match.path()).map(Path::of);
    }

    void up(LoopSource reading, @Nullable DeviceNode from, String words) {
        source = reading;
        device = from;
        place = from == null ? place : placeOf(from);
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
        listener.device(pedal, now, words, System.nanoTime());
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

    private static String placeOf(DeviceNode node) {
        return node.phys().isEmpty() ? node.serial() : node.phys();
    }

    /** Numbers by their value: port 2 before port 10. */
    private static String sortable(String text) {
        StringBuilder out = new StringBuilder();
        int digits = 0;
        for (int i = text.length() - 1; i >= 0; i--) {
            boolean digit = Character.isDigit(text.charAt(i));
            if (!digit && digits > 0) {
                out.append("0".repeat(Math.max(0, 6 - digits)));
            }
            digits = digit ? digits + 1 : 0;
            out.append(text.charAt(i));
        }
        return out.append("0".repeat(digits > 0 ? Math.max(0, 6 - digits) : 0))
                .reverse()
                .toString();
    }
}
