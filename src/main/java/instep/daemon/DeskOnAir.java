package instep.daemon;

import instep.config.Settings;
import instep.desk.Snapshot;
import instep.gear.GearSettings;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.IntPredicate;
import java.util.stream.Collectors;

/** Which angle is on air, who says so, and why it may not be, as the records tell it. Journal thread only. */
final class DeskOnAir {
    private Settings settings;
    private String angle = "";
    private String words = "";
    /** Gear that can be reached. */
    private final Set<String> up = new HashSet<>();
    /** Gear that was not told something since it said what is on air, or took something, last. */
    private final Set<String> untold = new HashSet<>();
    /** Gear that should have said what is on air. */
    private final Set<String> unsaid = new HashSet<>();

    DeskOnAir(Settings settings) {
        this.settings = settings;
    }

    Snapshot.OnAir shown() {
        return new Snapshot.OnAir(angle, words, doubt());
    }

    /** This configuration is in force from now on; gear that it connects anew cannot be reached yet. */
    void config(Settings next) {
        Set<String> kept = Arrays.stream(Kept.of(settings, next).gear())
                .filter(old -> old >= 0)
                .mapToObj(old -> settings.gear().get(old).name())
                .collect(Collectors.toSet());
        for (GearSettings one : settings.gear()) {
            if (!kept.contains(one.name())) {
                lost(one.name());
                untold.remove(one.name());
                unsaid.remove(one.name());
            }
        }
        settings = next;
    }

    /** A cut, made by somebody at that gear; empty: by ours. */
    void cut(String next, String by) {
        angle = next;
        String tellers = String.join(" and ", tellers());
        words = !by.isEmpty() ? "cut by somebody at " + by : tellers.isEmpty() ? "" : tellers + " has not said so yet";
        untold.remove(by);
        unsaid.remove(by);
    }

    /** The gear that is told of the cut and says what is on air. */
    private List<String> tellers() {
        return told(gear -> settings.listening().get(gear).tellsOnAir());
    }

    /** The gear that is told of the cut, and is such. */
    private List<String> told(IntPredicate such) {
        List<GearSettings> all = settings.gear();
        return settings.angles().stream()
                .filter(one -> one.name().equals(angle))
                .flatMap(one -> one.cut().steps().stream())
                .filter(step -> such.test(step.gear()))
                .map(step -> all.get(step.gear()).name())
                .distinct()
                .toList();
    }

    /** Why the angle may not be on air, of the first gear of which that is so; empty if nothing speaks against it. */
    private String doubt() {
        for (String gear : told(gear -> true)) {
            if (!up.contains(gear)) {
                return gear + " cannot be reached";
            }
            if (untold.contains(gear)) {
                return gear + " was not told";
            }
            if (unsaid.contains(gear) && tellers().contains(gear)) {
                return gear + " does not say so";
            }
        }
        return "";
    }

    /** That gear says that this angle is on air; true if it is the one that should be. */
    boolean said(String gear, String said) {
        boolean isRight = said.equals(angle);
        if (isRight) {
            words = says(gear);
            untold.remove(gear);
            unsaid.remove(gear);
        }
        return isRight;
    }

    /** That gear does not say that the angle is on air, though it should have by now. */
    void unconfirmed(String gear) {
        unsaid.add(gear);
    }

    /** That gear was not told something; where it says what is on air, it did not know better before. */
    void missed(String gear) {
        if (!words.equals(says(gear))) {
            untold.add(gear);
        }
    }

    /** That gear was told something; where it does not say what is on air, nothing better can be known. */
    void sent(String gear) {
        if (!tellers().contains(gear)) {
            untold.remove(gear);
        }
    }

    /** That gear can be reached: it is told what should be on air. */
    void reached(String gear) {
        up.add(gear);
    }

    /** That gear cannot be reached any more: what it said may be out of date. */
    void lost(String gear) {
        up.remove(gear);
        if (words.equals(says(gear))) {
            words = "said " + gear + " before it was lost";
        }
    }

    private static String says(String gear) {
        return "says " + gear;
    }
}
