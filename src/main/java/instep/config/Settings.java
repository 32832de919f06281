package instep.config;

import instep.desk.DeskSettings;
import instep.gear.GearSettings;
import instep.gear.Listening;
import instep.gear.Message;
import instep.gesture.Contact;
import instep.input.PedalSettings;
import instep.machine.Chart;
import instep.machine.Vocabulary;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * A configuration that holds together. Gear, angles, messages, pedals and contacts are known elsewhere by their places in these lists.
 *
 * @param listening how each gear is listened to, in the order of the gear
 * @param file as the user named it; several with " + " between
 * @param text the whole text as read; {@link ConfigReader#parse} reads it again, also when it is that of several files
 * @param overridden what later files gave in place of earlier ones
 * @param cutlist what becomes of a journal
 * @param desk where the desk page is shown; null: nowhere
 * @param running how it comes into force, and what becomes of a take that an end has broken off
 */
public record Settings(
        String file,
        String text,
        TimecodeSettings timecode,
        List<GearSettings> gear,
        List<Listening> listening,
        List<AngleSettings> angles,
        List<Message> messages,
        List<PedalSettings> pedals,
        List<Contact> contacts,
        Vocabulary vocabulary,
        Chart chart,
        CutlistSettings cutlist,
        JournalPlace journal,
        @Nullable DeskSettings desk,
        Running running,
        List<Overridden> overridden) {
    public Settings {
        gear = List.copyOf(gear);
        listening = List.copyOf(listening);
        angles = List.copyOf(angles);
        messages = List.copyOf(messages);
        pedals = List.copyOf(pedals);
        contacts = List.copyOf(contacts);
        overridden = List.copyOf(overridden);
    }

    /** The number of an angle; -1 if there is none of that name. */
    public int angle(String name) {
        for (int angle = 0; angle < angles.size(); angle++) {
            if (angles.get(angle).name().equals(name)) {
                return angle;
            }
        }
        return -1;
    }

    /** The number of the one contact of that name, whole ({@code floor.left}) or short ({@code left}); empty if there is none, or more than one. */
    public Optional<Integer> contact(String name) {
        List<Contact> found = contacts.stream()
                .filter(contact ->
                        contact.fullName().equals(name) || contact.name().equals(name))
                .toList();
        return found.size() == 1 ? Optional.of(contacts.indexOf(found.get(0))) : Optional.empty();
    }

    /** The SHA-256 of the text, in hexadecimal digits. */
    public String fingerprint() {
        try {
            byte[] digest = MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8));
            return HexFormat.of().formatHex(digest);
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }

    /** The same with gear at other addresses, in the same order; it is told no secrets. */
    public Settings withGear(List<GearSettings> others) {
        return new Settings(
                file,
                text,
                timecode,
                others,
                listening.stream().map(one -> one.with(List.of())).toList(),
                angles,
                messages,
                pedals,
                contacts,
                vocabulary,
                chart,
                cutlist,
                journal,
                desk,
                running,
                overridden);
    }

    /** The same with the desk page shown elsewhere, or nowhere. */
    public Settings withDesk(@Nullable DeskSettings other) {
        return new Settings(
                file,
                text,
                timecode,
                gear,
                listening,
                angles,
                messages,
                pedals,
                contacts,
                vocabulary,
                chart,
                cutlist,
                journal,
                other,
                running,
                overridden);
    }
}
