package instep.identify;

import java.util.List;
import java.util.Locale;

/** A first configuration for the pedals that were pressed, which runs as it is and is there to be changed: without gear, so that it only writes the record. */
final class StarterConfig {
    /** What the contacts after the first show; those that are more do what the last does. */
    private static final List<String> ANGLES = List.of("wheel", "hands", "glaze");

    private StarterConfig() {}

    static String text(FoundPedals pedals) {
        List<FoundContact> contacts = pedals.contacts();
        String first = contacts.get(0).name();
        StringBuilder text = new StringBuilder("""
                # A first configuration for your pedals, written by: instep identify --save
                # It runs as it is and writes the record of what your feet do; no gear is told anything yet. Try it:
                #   instep check FILE       says what each pedal does
                #   instep rehearse FILE    says it while you press
                # Then give the angles your cameras' names, and add your gear: see docs/language.md.
                instep: 1
                timecode: { rate: 25 }                     # as your cameras have it
                angles:                                    # your cameras: what the card of each is called
                """);
        int angles = (int) Math.min(
                ANGLES.size(),
                contacts.stream().skip(1).filter(StarterConfig::canShow).count());
        text.append("  wide: { reel: WIDE }\n");
        ANGLES.subList(0, angles)
                .forEach(angle -> text.append("  " + angle + ": { reel: " + angle.toUpperCase(Locale.ROOT) + " }\n"));
        text.append(pedals.yaml(pedals.devices()));
        text.append(
                "machine:\n  states:\n    standby:                               # nothing is recorded\n      on:\n");
        text.append("        ").append(begins(contacts.get(0))).append(": rolling\n");
        text.append(
                "    rolling:\n      rolling: true                        # a take is open\n      angle: wide\n      on:\n");
        text.append("        ").append(begins(contacts.get(0))).append(": standby\n");
        if (canShow(contacts.get(0))) {
            text.append(
                    "        " + first + ".tap: { mark: retake }        # what was just said is to be said again\n");
        }
        int shown = 0;
        for (FoundContact contact : contacts.subList(1, contacts.size())) {
            text.append("        ").append(line(contact, shown));
            shown += canShow(contact) ? 1 : 0;
        }
        return text.toString();
    }

    private static boolean canShow(FoundContact contact) {
        return !contact.signal().isStep();
    }

    private static String begins(FoundContact contact) {
        return contact.name() + (canShow(contact) ? ".hold" : ".press");
    }

    private static String line(FoundContact contact, int shown) {
        if (!canShow(contact)) {
            return contact.name() + ".press: { mark: " + contact.name() + " }\n";
        }
        String angle = ANGLES.get(Math.min(shown, ANGLES.size() - 1));
        return contact.name() + ".press: { angle: " + angle + ", until: " + contact.name() + ".release }\n";
    }
}
