package instep.gesture;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/**
 * A file of what feet do and what comes of it. Three contacts, {@code left}, {@code middle} and {@code right}.
 *
 * <pre>
 * # a remark
 * timing left hold 300ms            a threshold other than the default's
 * wants left.tap, left.double-tap   what the active states are bound to
 * 0ms    left down
 * 80ms   left up
 * 90ms   left lost                  its device is gone
 * 95ms   wants nothing              another state
 * 900ms                             time passes
 *
 * 0ms    left.press
 * 80ms   left.release
 * 360ms  left.tap began 0ms         where it began earlier than it was known
 * </pre>
 *
 * Every gesture is listed but the latches, which are listed where they are wanted.
 */
final class Scenario {
    private static final List<String> CONTACTS = List.of("left", "middle", "right");
    private static final String PEDAL = "floor.";

    private final List<String> feet = new ArrayList<>();
    private final List<String> expected = new ArrayList<>();
    private final Timing[] timings = new Timing[] {Timing.DEFAULT, Timing.DEFAULT, Timing.DEFAULT};
    private final Gestures gestures;
    private final Set<Integer> wants = new HashSet<>();
    private final boolean showsLatches;

    Scenario(List<String> lines) {
        boolean out = false;
        for (String line : lines) {
            String said = line.replaceFirst("#.*", "").trim().replaceAll("\\s+", " ");
            out |= line.isBlank();
            if (said.startsWith("timing ")) {
                time(said.split(" "));
            } else if (!said.isEmpty()) {
                (out ? expected : feet).add(said);
            }
        }
        List<Contact> contacts = new ArrayList<>();
        for (int i = 0; i < timings.length; i++) {
            contacts.add(new Contact("floor", CONTACTS.get(i), timings[i]));
        }
        gestures = gestures(contacts);
        showsLatches = feet.stream().anyMatch(line -> line.contains("latch-"));
    }

    private void time(String[] words) {
        int contact = CONTACTS.indexOf(words[1]);
        Timing old = timings[contact];
        long nanos = nanos(words[3]);
        timings[contact] = switch (words[2]) {
            case "debounce" -> new Timing(nanos, old.hold(), old.doubleTap(), old.liftGrace());
            case "hold" -> new Timing(old.debounce(), nanos, old.doubleTap(), old.liftGrace());
            case "double-tap" -> new Timing(old.debounce(), old.hold(), nanos, old.liftGrace());
            case "lift-grace" -> new Timing(old.debounce(), old.hold(), old.doubleTap(), nanos);
            default -> throw new IllegalArgumentException(words[2]);
        };
    }

    /** The chords and named holds are those that are ever wanted. */
    private Gestures gestures(List<Contact> contacts) {
        Set<String> wanted = new LinkedHashSet<>();
        feet.stream().filter(line -> line.contains("wants ")).forEach(line -> wanted.addAll(wantsOf(line)));
        List<Gestures.Chord> chords = new ArrayList<>();
        List<Gestures.NamedHold> holds = new ArrayList<>();
        for (String gesture : wanted) {
            List<Integer> members = Arrays.stream(
                            gesture.replaceFirst("\\..*", "").split("\\+"))
                    .map(CONTACTS::indexOf)
                    .toList();
            Gestures.Chord chord = members.size() > 1 ? new Gestures.Chord(members) : null;
            if (chord != null && !chords.contains(chord)) {
                chords.add(chord);
            }
            int hold = gesture.indexOf(".hold ");
            if (hold >= 0) {
                int source = chord == null ? members.get(0) : contacts.size() + chords.indexOf(chord);
                holds.add(new Gestures.NamedHold(
                        source, nanos(gesture.substring(hold + ".hold ".length())), gesture.substring(hold + 1)));
            }
        }
        return new Gestures(contacts, chords, holds);
    }

    private static List<String> wantsOf(String line) {
        String list = line.replaceFirst(".*wants ", "");
        return list.equals("nothing") ? List.of() : List.of(list.split(", "));
    }

    List<String> expected() {
        return expected;
    }

    /** Plays it; {@code stepNanos} how often the time is told between what the feet do, or 0. */
    List<String> played(long stepNanos) {
        List<String> heard = new ArrayList<>();
        List<String> names = gestures.names();
        Recognizer recognizer = new Recognizer(gestures, wants::contains, (gesture, began, at) -> {
            String name = names.get(gesture).replace(PEDAL, "");
            if (showsLatches || !name.contains("latch-")) {
                heard.add(millis(at) + " " + name + (began == at ? "" : " began " + millis(began)));
            }
        });
        long now = 0;
        for (String line : feet) {
            if (line.startsWith("wants ")) {
                want(line);
                continue;
            }
            String[] words = line.split(" ");
            long at = nanos(words[0]);
            for (; stepNanos > 0 && now < at; now += stepNanos) {
                recognizer.advanceTo(now);
            }
            if (words.length == 1) {
                recognizer.advanceTo(at);
            } else if (words[1].equals("wants")) {
                recognizer.advanceTo(at);
                want(line);
            } else {
                recognizer.edge(CONTACTS.indexOf(words[1]), words[2].equals("down"), words[2].equals("lost"), at);
            }
        }
        return heard;
    }

    private void want(String line) {
        wants.clear();
        List<String> names = gestures.names();
        for (String gesture : wantsOf(line)) {
            String full = PEDAL + gesture.replace("+", "+" + PEDAL);
            if (!names.contains(full)) {
                throw new IllegalArgumentException("no gesture " + gesture);
            }
            wants.add(names.indexOf(full));
        }
    }

    private static long nanos(String text) {
        if (text.endsWith("ms")) {
            return new BigDecimal(text.replace("ms", "")).movePointRight(6).longValueExact();
        }
        return new BigDecimal(text.replace("s", "")).movePointRight(9).longValueExact();
    }

    private static String millis(long nanos) {
        return BigDecimal.valueOf(nanos, 6).stripTrailingZeros().toPlainString() + "ms";
    }
}
