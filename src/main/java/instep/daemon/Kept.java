package instep.daemon;

import instep.config.Settings;
import instep.gear.GearSettings;
import instep.gear.Listening;
import instep.gesture.Contact;
import instep.input.PedalSettings;
import instep.input.SamePedal;
import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;

/** What stays when a configuration takes the place of another one: gear and pedal units of the same name whose settings did not change. */
final class Kept {
    private final int[] gear;
    private final int[] pedals;
    private final int[] contacts;
    private final List<String> gonePedals;

    private Kept(Settings before, Settings next) {
        gear = IntStream.range(0, next.gear().size())
                .map(one -> same(before, next, one))
                .toArray();
        pedals = next.pedals().stream()
                .mapToInt(one -> same(before.pedals(), one))
                .toArray();
        List<String> staying = IntStream.range(0, pedals.length)
                .filter(pedal -> pedals[pedal] >= 0)
                .mapToObj(pedal -> next.pedals().get(pedal).name())
                .toList();
        List<String> contactNames =
                before.contacts().stream().map(Contact::fullName).toList();
        contacts = next.contacts().stream()
                .mapToInt(contact -> staying.contains(contact.pedal()) ? contactNames.indexOf(contact.fullName()) : -1)
                .toArray();
        gonePedals = before.pedals().stream()
                .map(PedalSettings::name)
                .filter(name -> !staying.contains(name))
                .toList();
    }

    static Kept of(Settings before, Settings next) {
        return new Kept(before, next);
    }

    /** By new number, the old one; -1 for gear that is new. */
    int[] gear() {
        return gear;
    }

    /** The same for pedal units. */
    int[] pedals() {
        return pedals;
    }

    /** The same for the contacts of pedal units that stay. */
    int[] contacts() {
        return contacts;
    }

    /** Names of pedal units that do not stay as they were. */
    List<String> gonePedals() {
        return gonePedals;
    }

    /** A link that was made with other secrets cannot tell those, nor can it queue more than it was made for. */
    private static int same(Settings before, Settings next, int one) {
        int old = before.gear().indexOf(next.gear().get(one));
        if (old < 0) {
            return -1;
        }
        Listening was = before.listening().get(old);
        Listening is = next.listening().get(one);
        return was.secrets().equals(is.secrets()) && was.queue() == is.queue() ? old : -1;
    }

    private static int same(List<PedalSettings> before, PedalSettings one) {
        return IntStream.range(0, before.size())
                .filter(i -> before.get(i).name().equals(one.name()) && SamePedal.areSame(before.get(i), one))
                .findFirst()
                .orElse(-1);
    }

    /** By old number, the new one; -1 for what is gone. */
    static int[] turned(int[] theirs, int count) {
        int[] ours = new int[count];
        Arrays.fill(ours, -1);
        for (int i = 0; i < theirs.length; i++) {
            if (theirs[i] >= 0) {
                ours[theirs[i]] = i;
            }
        }
        return ours;
    }

    /** For a person: {@code 2 gear kept, 1 new}. */
    String words(Settings before, Settings next) {
        String words = "gear "
                + counted(gear, before.gear().stream().map(GearSettings::name).toList());
        List<String> pedalNames =
                before.pedals().stream().map(PedalSettings::name).toList();
        return next.pedals().isEmpty() && pedalNames.isEmpty()
                ? words
                : words + "; pedals " + counted(pedals, pedalNames);
    }

    private static String counted(int[] theirs, List<String> before) {
        long kept = Arrays.stream(theirs).filter(old -> old >= 0).count();
        long added = theirs.length - kept;
        long gone = before.size() - kept;
        return kept + " kept" + (added > 0 ? ", " + added + " new" : "") + (gone > 0 ? ", " + gone + " let go" : "");
    }
}
