package instep.daemon;

import instep.config.Settings;
import instep.desk.Snapshot;
import instep.gear.GearSettings;
import java.util.List;

/** Which angle is on air, and who says so, as the records tell it. Journal thread only. */
final class DeskOnAir {
    private Settings settings;
    private Snapshot.OnAir shown = new Snapshot.OnAir("", "");

    DeskOnAir(Settings settings) {
        this.settings = settings;
    }

    Snapshot.OnAir shown() {
        return shown;
    }

    /** This configuration is in force from now on. */
    void config(Settings next) {
        settings = next;
    }

    /** A cut, made by somebody at that gear; empty: by ours. */
    void cut(String angle, String by) {
        String tellers = tellers(angle);
        shown = new Snapshot.OnAir(
                angle,
                !by.isEmpty() ? "cut by somebody at " + by : tellers.isEmpty() ? "" : tellers + " has not said so yet");
    }

    /** The gear that is told of the cut and says what is on air. */
    private String tellers(String angle) {
        List<GearSettings> all = settings.gear();
        return String.join(
                " and ",
                settings.angles().stream()
                        .filter(one -> one.name().equals(angle))
                        .flatMap(one -> one.cut().steps().stream())
                        .filter(step -> settings.listening().get(step.gear()).tellsOnAir())
                        .map(step -> all.get(step.gear()).name())
                        .distinct()
                        .toList());
    }

    /** That gear says that this angle is on air; true if it is the one that should be. */
    boolean said(String gear, String angle) {
        boolean isRight = angle.equals(shown.angle());
        if (isRight) {
            shown = new Snapshot.OnAir(angle, says(gear));
        }
        return isRight;
    }

    /** That gear cannot be reached any more: what it said may be out of date. */
    void lost(String gear) {
        if (shown.words().equals(says(gear))) {
            shown = new Snapshot.OnAir(shown.angle(), "said " + gear + " before it was lost");
        }
    }

    private static String says(String gear) {
        return "says " + gear;
    }
}
