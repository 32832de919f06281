package instep.daemon;

import instep.config.Settings;
import instep.desk.Snapshot;
import instep.desk.Tallies;
import java.util.List;
import java.util.Locale;

/** How it is with one piece of gear, as the records tell it. Journal thread only. */
final class DeskGear {
    private static final double MICROS_PER_MILLI = 1_000;

    /** Whether a recorder rolls. */
    private enum Roll {
        UNHEARD("has not said anything yet"),
        AWAITED("has not said yet that it rolls"),
        ROLLS("rolls"),
        STANDS("does not roll"),
        SILENT("does not say that it rolls"),
        STOPPED("has stopped in the take");

        private final String words;

        Roll(String words) {
            this.words = words;
        }
    }

    private final String name;
    private final boolean isRecorder;
    private boolean up;
    private boolean wasUp;
    private String why = "not reached yet";
    private Roll roll = Roll.UNHEARD;
    private boolean takeIsOpen;
    private long sent;
    private long missed;
    private long lost;
    private long micros = -1;
    private long confirmedMicros = -1;

    private DeskGear(String name, boolean isRecorder) {
        this.name = name;
        this.isRecorder = isRecorder;
    }

    static List<DeskGear> of(Settings settings) {
        return settings.gear().stream()
                .map(gear -> new DeskGear(
                        gear.name(),
                        settings.listening().get(settings.gear().indexOf(gear)).tellsRolling()))
                .toList();
    }

    String name() {
        return name;
    }

    boolean isRecorder() {
        return isRecorder;
    }

    /** A link came up or was lost. */
    void link(boolean isUp, String words) {
        if (up && !isUp) {
            lost++;
        }
        wasUp |= up;
        up = isUp;
        why = words;
    }

    void sent(long latencyMicros) {
        sent++;
        if (latencyMicros >= 0) {
            micros = latencyMicros;
        }
    }

    void confirmed(long latencyMicros) {
        confirmedMicros = latencyMicros;
    }

    void missed() {
        missed++;
    }

    /** A take began or ended. */
    void take(boolean isOpen) {
        takeIsOpen = isOpen;
        if (isOpen && roll != Roll.ROLLS) {
            roll = Roll.AWAITED;
        } else if (!isOpen && roll != Roll.ROLLS && roll != Roll.STANDS) {
            roll = Roll.UNHEARD;
        }
    }

    /** It says whether it rolls. */
    void rolls(boolean rolling) {
        boolean stops = takeIsOpen && roll == Roll.ROLLS && !rolling;
        if (stops) {
            roll = Roll.STOPPED;
        } else if (rolling) {
            roll = Roll.ROLLS;
        } else if (roll != Roll.AWAITED && roll != Roll.STOPPED && roll != Roll.SILENT) {
            roll = Roll.STANDS;
        } else if (!takeIsOpen) {
            roll = Roll.STANDS;
        }
    }

    /** It should roll and does not. */
    void rollFault(boolean silent) {
        roll = silent ? Roll.SILENT : Roll.STOPPED;
    }

    Snapshot.Part link() {
        String words = up ? "up" : (wasUp ? "lost: " : "not up: ") + why;
        return new Snapshot.Part(name, words, up, latency());
    }

    Snapshot.Part recorder() {
        boolean fine = up && roll != Roll.SILENT && roll != Roll.STOPPED && (takeIsOpen || roll != Roll.ROLLS);
        return new Snapshot.Part(name, up ? rollWords() : "cannot be reached", fine, "");
    }

    private String rollWords() {
        return roll == Roll.ROLLS && !takeIsOpen ? "rolls, and no take is open" : roll.words;
    }

    Tallies.Gear tally() {
        return new Tallies.Gear(name, up, sent, missed, lost, micros);
    }

    private String latency() {
        if (micros < 0) {
            return "";
        }
        String text = "sent in " + millis(micros);
        return confirmedMicros < 0 ? text : text + ", on air after " + millis(confirmedMicros);
    }

    private static String millis(long micros) {
        return String.format(Locale.ROOT, "%.1f ms", micros / MICROS_PER_MILLI);
    }
}
