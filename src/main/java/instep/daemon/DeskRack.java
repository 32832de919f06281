package instep.daemon;

import instep.config.Settings;
import instep.desk.Snapshot;
import instep.desk.Tallies;
import instep.gear.GearSettings;
import instep.gear.ReplyPattern;
import instep.journal.Happening;
import instep.journal.Key;
import java.util.ArrayList;
import java.util.List;

/** How it is with the gear, as the records tell it: its links, what it was told, and what it says of cuts and of rolling. Journal thread only. */
final class DeskRack {
    private final DeskOnAir onAir;
    private final DeskFaults faults;
    private Settings settings;
    private Ears ears;
    /** By the numbers of the configuration in force. */
    private List<DeskGear> gear;

    DeskRack(Settings settings, DeskOnAir onAir, DeskFaults faults) {
        this.settings = settings;
        this.onAir = onAir;
        this.faults = faults;
        ears = new Ears(settings);
        gear = DeskGear.of(settings);
    }

    /** This configuration is in force from now on; what is known of gear that was there before is still known. */
    void config(Settings next) {
        gear = staying(next);
        settings.gear().stream()
                .map(GearSettings::name)
                .filter(name -> next.gear().stream().noneMatch(one -> one.name().equals(name)))
                .forEach(faults::gone);
        next.gear().stream()
                .filter(one -> !next.listening().get(next.gear().indexOf(one)).tellsOnAir())
                .forEach(one -> faults.over(DeskFaults.unconfirmed(one.name())));
        ears = new Ears(next);
        settings = next;
    }

    private List<DeskGear> staying(Settings next) {
        List<DeskGear> all = new ArrayList<>(DeskGear.of(next));
        for (int one = 0; one < all.size(); one++) {
            int old = settings.gear().indexOf(next.gear().get(one));
            if (old >= 0 && gear.get(old).isRecorder() == all.get(one).isRecorder()) {
                all.set(one, gear.get(old));
            }
        }
        return all;
    }

    private List<DeskGear> of(Happening what) {
        String name = what.text(Key.GEAR);
        return gear.stream().filter(one -> one.name().equals(name)).toList();
    }

    /** A link came up or was lost. */
    void link(Happening what, String label) {
        String name = what.text(Key.GEAR);
        boolean up = what.text(Key.STATE).equals("up");
        of(what).forEach(one -> one.link(up, what.text(Key.WHY)));
        if (up) {
            onAir.reached(name);
            faults.over(DeskFaults.link(name));
        } else {
            faults.stands(DeskFaults.link(name), name + " cannot be reached", what.text(Key.WHY), label);
            onAir.lost(name);
        }
    }

    /** Gear was told something. */
    void sent(Happening what) {
        of(what).forEach(one -> one.sent(what.number(Key.LATENCY_US)));
        onAir.sent(what.text(Key.GEAR));
    }

    /** Gear was not told something. */
    void missed(Happening what, String label) {
        of(what).forEach(DeskGear::missed);
        String name = what.text(Key.GEAR);
        String why = what.text(Key.WHY);
        if (!why.equals(Outcome.SUPERSEDED)) {
            onAir.missed(name);
            faults.happened("missed " + name, name + " was not told " + what.text(Key.WHAT), why, label);
        }
    }

    /** Gear says that a cut is on air. */
    void confirmed(Happening what) {
        String name = what.text(Key.GEAR);
        of(what).forEach(one -> one.confirmed(what.number(Key.LATENCY_US)));
        onAir.said(name, what.text(Key.ANGLE));
        faults.over(DeskFaults.unconfirmed(name));
    }

    /** Gear says something. */
    void reply(Happening what) {
        String name = what.text(Key.GEAR);
        faults.over(DeskFaults.silent(name));
        if (what.text(Key.HEEDED).isEmpty()) {
            return;
        }
        for (int one = 0; one < gear.size(); one++) {
            if (gear.get(one).name().equals(name)) {
                heed(one, what.text(Key.TEXT));
            }
        }
    }

    private void heed(int one, String text) {
        String name = gear.get(one).name();
        for (Ears.Heard heard : ears.look(one, text)) {
            Boolean rolling = heard.pattern().rolling();
            if (rolling != null) {
                gear.get(one).rolls(rolling);
                if (rolling) {
                    faults.over(DeskFaults.roll(name));
                }
            }
            ReplyPattern.AngleName said = heard.pattern().onAir();
            if (said != null && onAir.said(name, said.angle(heard.values()))) {
                faults.over(DeskFaults.unconfirmed(name));
            }
        }
    }

    /** A record of a fault; of this it may be that a recorder does not roll, or that a cut is not confirmed. */
    void fault(Happening what) {
        String roll = what.text(Key.ROLL);
        if (!roll.isEmpty()) {
            of(what).forEach(one -> one.rollFault(roll.equals("silent")));
        } else if (!what.text(Key.ANGLE).isEmpty()) {
            onAir.unconfirmed(what.text(Key.GEAR));
        }
    }

    /** A take began or ended. */
    void take(boolean isOpen) {
        gear.forEach(one -> {
            one.take(isOpen);
            faults.over(DeskFaults.roll(one.name()));
        });
    }

    List<Snapshot.Part> recorders() {
        return gear.stream()
                .filter(DeskGear::isRecorder)
                .map(DeskGear::recorder)
                .toList();
    }

    List<Snapshot.Part> links() {
        return gear.stream().map(DeskGear::link).toList();
    }

    List<Tallies.Gear> tallies() {
        return gear.stream().map(DeskGear::tally).toList();
    }
}
