package instep;

import instep.input.Inventory;
import java.io.PrintStream;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Prints, for each pedal that is pressed for the first time, the lines of configuration for all of its device so far. */
final class Pressed implements Inventory.Listener {
    private static final List<String> NAMES = List.of("first", "second", "third", "fourth", "fifth", "sixth");

    private final PrintStream out;
    private final Map<Inventory.Device, List<String>> signals = new LinkedHashMap<>();
    private boolean told;

    Pressed(PrintStream out) {
        this.out = out;
    }

    @Override
    public void came(Inventory.Device device) {
        if (told) {
            out.println("came: " + device.name());
        }
    }

    @Override
    public void went(Inventory.Device device) {
        out.println("went: " + device.name());
        signals.remove(device);
    }

    @Override
    public void key(Inventory.Device device, int code, String name, boolean closed, long nanos) {
        pressed(device, name, closed);
    }

    @Override
    public void bit(Inventory.Device device, int byteIndex, int bit, boolean closed, long nanos) {
        pressed(device, "{ byte: " + byteIndex + ", bit: " + bit + " }", closed);
    }

    private void pressed(Inventory.Device device, String signal, boolean closed) {
        List<String> known = signals.computeIfAbsent(device, d -> new ArrayList<>());
        if (!closed || known.contains(signal)) {
            return;
        }
        told = true;
        known.add(signal);
        out.printf("%n# %s: %s%n", device.name(), signal);
        out.print(yaml(device, known));
        out.flush();
    }

    /** The lines to paste; names of contacts are for the person to choose. */
    static String yaml(Inventory.Device device, List<String> signals) {
        StringBuilder text = new StringBuilder("pedals:\n  floor:\n");
        String match = device.usb().isEmpty() ? "name: \"" + device.name() + "\"" : "usb: \"" + device.usb() + "\"";
        text.append("    match: { ").append(match).append(" }\n");
        if (device.reading() == Inventory.Reading.KEYS) {
            text.append("    grab: true\n");
        }
        text.append("    contacts:\n");
        for (int i = 0; i < signals.size(); i++) {
            String name = i < NAMES.size() ? NAMES.get(i) : "contact-" + (i + 1);
            text.append("      ")
                    .append(name)
                    .append(": ")
                    .append(signals.get(i))
                    .append('\n');
        }
        return text.toString();
    }
}
