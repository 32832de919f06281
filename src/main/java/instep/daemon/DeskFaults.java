package instep.daemon;

import instep.desk.Snapshot;
import instep.journal.Happening;
import instep.journal.Key;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * What is wrong, as the records tell it: what stands until a record says that it is over, and what has happened, which somebody has to acknowledge. The same thing
 * again is one fault that happened more often. Journal thread only.
 */
final class DeskFaults {
    static final int MOST = 40;
    /** The files in force are not those that were saved. */
    static final String CONFIG = "config";

    /** The journal has lost records. */
    static final String LOST = "lost";

    private static final String JOURNAL = "journal";
    private static final String ROLL = "roll ";
    private static final String LINK = "link ";
    private static final String PEDAL = "pedal ";

    private final Map<String, Snapshot.Fault> faults = new HashMap<>();
    private long number;

    /** Something is wrong from now on. */
    void stands(String key, String what, String why, String label) {
        Snapshot.Fault before = faults.get(key);
        if (before == null || !before.stands()) {
            put(key, new Snapshot.Fault(++number, what, why, label, true, 1));
        } else {
            faults.put(key, new Snapshot.Fault(before.number(), what, why, before.label(), true, 1));
        }
    }

    /** Something went wrong. */
    void happened(String key, String what, String why, String label) {
        Snapshot.Fault before = faults.get(key);
        long times = before == null ? 1 : before.times() + 1;
        put(key, new Snapshot.Fault(++number, what, why, label, false, times));
    }

    /** That is over. */
    void over(String key) {
        faults.remove(key);
    }

    private void put(String key, Snapshot.Fault fault) {
        faults.put(key, fault);
        if (faults.size() > MOST) {
            faults.entrySet().stream()
                    .min(Comparator.comparing((Map.Entry<String, Snapshot.Fault> one) ->
                                    one.getValue().stands())
                            .thenComparing(one -> one.getValue().number()))
                    .map(Map.Entry::getKey)
                    .ifPresent(faults::remove);
        }
    }

    /** A record of a fault. */
    void fault(Happening what, String label) {
        String gear = what.text(Key.GEAR);
        String text = what.text(Key.TEXT);
        String roll = what.text(Key.ROLL);
        if (what.text(Key.JOURNAL).equals("back")) {
            over(JOURNAL);
        }
        if (!roll.isEmpty()) {
            String words = roll.equals("silent") ? " does not say that it rolls" : " has stopped in the take";
            stands(roll(gear), gear + words, text, label);
        } else if (!what.text(Key.ANGLE).isEmpty()) {
            String angle = what.text(Key.ANGLE);
            stands(unconfirmed(gear), gear + " does not say that " + angle + " is on air", text, label);
        } else if (!what.text(Key.SILENT).isEmpty()) {
            stands(silent(gear), gear + " does not answer", text, label);
        } else if (!gear.isEmpty()) {
            happened(gear + " " + text, gear + " refused", text, label);
        } else if (what.number(Key.GAP) > 0) {
            stands(LOST, "the journal loses records", text, label);
        } else if (what.text(Key.JOURNAL).equals("failing")) {
            stands(JOURNAL, "the journal cannot be written", text, label);
        } else if (!what.text(Key.CONFIG).isEmpty()) {
            int end = text.indexOf(';');
            stands(CONFIG, text.substring(0, end), text.substring(end + 2), label);
        } else {
            happened(text, text, "", label);
        }
    }

    /** That gear is not in the configuration any more. */
    void gone(String gear) {
        List.of(link(gear), silent(gear), unconfirmed(gear), roll(gear)).forEach(this::over);
    }

    /** Gear cannot be reached. */
    static String link(String gear) {
        return LINK + gear;
    }

    /** A pedal is not there. */
    static String pedal(String pedal) {
        return PEDAL + pedal;
    }

    /** Gear has not confirmed a cut. */
    static String unconfirmed(String gear) {
        return "unconfirmed " + gear;
    }

    /** A recorder does not roll. */
    static String roll(String gear) {
        return ROLL + gear;
    }

    /** Gear does not answer. */
    static String silent(String gear) {
        return "silent " + gear;
    }

    /** How many stand and the newest of them, such as {@code 1 fault: the journal cannot be written: no space left}; empty if none does. Which gear and pedals are not there is told elsewhere. */
    String standing() {
        if (faults.isEmpty()) {
            return ""; // asked whenever the journal has caught up, and most often there is nothing to sort
        }
        List<Snapshot.Fault> standing = faults.entrySet().stream()
                .filter(one -> one.getValue().stands()
                        && !one.getKey().startsWith(LINK)
                        && !one.getKey().startsWith(PEDAL))
                .map(Map.Entry::getValue)
                .sorted(Comparator.comparingLong(Snapshot.Fault::number).reversed())
                .toList();
        if (standing.isEmpty()) {
            return "";
        }
        Snapshot.Fault newest = standing.get(0);
        String why = newest.why().isEmpty() ? "" : ": " + newest.why().replace('\n', ' ');
        return (standing.size() == 1 ? "1 fault: " : standing.size() + " faults, the newest: ") + newest.what() + why;
    }

    /** All of them: recorders that do not roll, then what else stands, then what has happened, and the newest first in each. */
    List<Snapshot.Fault> all() {
        Comparator<Map.Entry<String, Snapshot.Fault>> least = Comparator.comparing(
                        (Map.Entry<String, Snapshot.Fault> one) -> one.getKey().startsWith(ROLL))
                .thenComparing(one -> one.getValue().stands())
                .thenComparing(one -> one.getValue().number());
        return faults.entrySet().stream()
                .sorted(least.reversed())
                .map(Map.Entry::getValue)
                .toList();
    }
}
