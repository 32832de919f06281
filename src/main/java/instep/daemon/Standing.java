package instep.daemon;

import instep.config.Settings;
import instep.machine.Machine;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Supplier;

/** How the desk stands at the moment, in a line of words: what is on air, the take, the gear, the pedals and the faults that stand. Loop thread only. */
final class Standing {
    private final Settings settings;
    private final Switchboard switchboard;
    private final Machine machine;
    private final Supplier<String> faults;
    private String toldFaults = "";
    private int toldAngle;
    private long toldTake;
    private int toldGear;
    private int toldPedals;

    /** {@code faults}: those that stand, in words, beside gear and pedals that are not there; empty if there are none. */
    Standing(Settings settings, Switchboard switchboard, Supplier<String> faults) {
        this.settings = settings;
        this.faults = faults;
        this.switchboard = switchboard;
        machine = switchboard.machine();
    }

    /** Whether it is another than when it was told last. Asked after every turn, and so made of numbers, and of words that are the same object while they do not change. */
    boolean isNews() {
        return toldAngle != switchboard.gear().onAir()
                || toldTake != take()
                || toldGear != switchboard.gear().countUp()
                || !toldFaults.equals(faults.get())
                || toldPedals != switchboard.pedals().countUp();
    }

    private long take() {
        return machine.isRolling() ? machine.take() : -1;
    }

    /** Such as {@code on air wheel, take 3, 2 of 3 gear up (recorder is not), floor is not there}. */
    String tell() {
        toldAngle = switchboard.gear().onAir();
        toldTake = take();
        toldGear = switchboard.gear().countUp();
        toldPedals = switchboard.pedals().countUp();
        toldFaults = faults.get();
        List<String> parts = new ArrayList<>();
        parts.add(
                toldAngle < 0
                        ? "nothing on air yet"
                        : "on air " + settings.angles().get(toldAngle).name());
        parts.add(toldTake < 0 ? "no take open" : "take " + toldTake);
        parts.add(gear());
        for (int pedal = 0; pedal < settings.pedals().size(); pedal++) {
            if (!switchboard.pedals().isUp(pedal)) {
                parts.add(settings.pedals().get(pedal).name() + " is not there");
            }
        }
        return String.join(", ", parts) + (toldFaults.isEmpty() ? "" : "; " + toldFaults);
    }

    private String gear() {
        int all = settings.gear().size();
        if (all == 0) {
            return "no gear";
        }
        List<String> down = new ArrayList<>();
        for (int gear = 0; gear < all; gear++) {
            if (!switchboard.gear().isUp(gear)) {
                down.add(settings.gear().get(gear).name());
            }
        }
        String up = toldGear + " of " + all + " gear up";
        return switch (down.size()) {
            case 0 -> up;
            case 1 -> up + " (" + down.get(0) + " is not)";
            default -> up + " (" + String.join(", ", down) + " are not)";
        };
    }
}
