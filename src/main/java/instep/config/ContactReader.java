package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.input.PedalSettings;
import instep.input.PedalSettings.ReportBit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalInt;

/** Reads the contacts of one device: the key, or the bit of a report, that each of them is. */
final class ContactReader {
    static final List<String> KEYS = List.of("key", "byte", "bit", "debounce", "hold", "double-tap", "lift-grace");

    /** KEY_MAX of the kernel's input-event-codes.h. */
    private static final int KEY_MAX = 0x2ff;

    private static final int LAST_BYTE = 4095;

    private final Scalars scalars;
    private final KeyCodes codes;
    private final List<PedalSettings.Key> keys = new ArrayList<>();
    private final List<ReportBit> bits = new ArrayList<>();
    private final Map<String, Entry> taken = new HashMap<>();

    ContactReader(Scalars scalars, KeyCodes codes) {
        this.scalars = scalars;
        this.codes = codes;
    }

    List<PedalSettings.Key> keys() {
        return keys;
    }

    List<ReportBit> bits() {
        return bits;
    }

    /** Reads a contact that bears the number; gives its fields, among which its thresholds may be. */
    Fields read(int number, Entry entry) {
        String what = "contact " + Words.quote(entry.name());
        Fields fields = Fields.of(entry.place(), what, asMap(entry), KEYS, scalars);
        boolean hasBit = fields.has("byte") || fields.has("bit");
        if (fields.has("key")) {
            fields.refuse("byte", "a key is given");
            fields.refuse("bit", "a key is given");
        }
        if (!fields.has("key") && !hasBit && !fields.isBroken()) {
            scalars.faults().add(entry.place(), what + " has no signal; expected key, or byte and bit");
        }
        Node key = fields.get("key");
        if (key != null) {
            unlessMixed(entry, !bits.isEmpty(), () -> key(number, key, entry));
        } else if (hasBit) {
            unlessMixed(entry, !keys.isEmpty(), () -> bit(number, fields, entry));
        }
        return fields;
    }

    /** A lone word is its key. */
    private static Node asMap(Entry entry) {
        return entry.value() instanceof Scalar scalar && !scalar.isNull()
                ? new Mapping(
                        scalar.place(), List.of(new Entry(new Scalar(scalar.place(), "key", true), scalar)), false)
                : entry.value();
    }

    private void unlessMixed(Entry entry, boolean mixed, Runnable read) {
        if (mixed) {
            scalars.faults()
                    .add(
                            entry.place(),
                            "the contacts of one device are all keys or all bits of a report; expected the same as above");
        } else {
            read.run();
        }
    }

    private void key(int number, Node node, Entry entry) {
        String name = scalars.text(node, "the name of a key, such as KEY_A", "");
        OptionalInt code = name.isEmpty() ? OptionalInt.empty() : code(name);
        if (code.isPresent()) {
            once("key " + code.getAsInt(), name, entry);
            keys.add(new PedalSettings.Key(number, code.getAsInt()));
        } else if (!name.isEmpty()) {
            scalars.faults().add(node.place(), "unknown key name " + Words.quote(name) + hint(name));
        }
    }

    private OptionalInt code(String name) {
        if (name.matches("[1-9][0-9]{0,2}") && Integer.parseInt(name) <= KEY_MAX) {
            return OptionalInt.of(Integer.parseInt(name));
        }
        return codes.code(name);
    }

    private String hint(String name) {
        String full = "KEY_" + name.toUpperCase(Locale.ROOT);
        if (codes.code(full).isPresent()) {
            return "; did you mean \"" + full + "\"?";
        }
        String near = scalars.faults().mayGuess()
                ? Words.nearest(name, codes.names())
                        .map(n -> "; did you mean \"" + n + "\"?")
                        .orElse("")
                : "";
        return near.isEmpty() ? "; expected the kernel's name of a key or button, such as KEY_A or BTN_0" : near;
    }

    private void bit(int number, Fields fields, Entry entry) {
        fields.require("byte", "expected the byte of the report, counted from 0");
        fields.require("bit", "expected the bit of that byte, from 0 to 7");
        int faults = scalars.faults().count();
        int index = fields.integer("byte", 0, LAST_BYTE, 0);
        int bit = fields.integer("bit", 0, 7, 0);
        if (fields.has("byte") && fields.has("bit") && scalars.faults().count() == faults) {
            String signal = "bit " + bit + " of byte " + index;
            once(signal, signal, entry);
        }
        bits.add(new ReportBit(number, index, bit));
    }

    private void once(String signal, String shown, Entry entry) {
        Entry before = taken.putIfAbsent(signal, entry);
        if (before != null) {
            scalars.faults()
                    .add(
                            entry.value().place(),
                            shown + " is already the contact " + Words.quote(before.name()) + " "
                                    + Words.at(before.place(), entry.value().place()) + "; expected another signal for "
                                    + Words.quote(entry.name()));
        }
    }
}
