package instep.identify;

import instep.input.Inventory.Device;
import instep.input.Signal;
import java.io.PrintStream;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** Prints, for each contact that is pressed for the first time, the lines of configuration for all of its device so far. */
public final class PressedLines implements Presses.Listener {
    private final PrintStream out;
    private final Set<Device> typing = new HashSet<>();
    private boolean told;

    public PressedLines(PrintStream out) {
        this.out = out;
    }

    @Override
    public void came(Device device) {
        // Those that were there from the beginning have been listed.
        if (told) {
            out.println("came: " + DeviceLines.shown(device.name()));
        }
    }

    @Override
    public void went(Device device) {
        out.println("went: " + DeviceLines.shown(device.name()));
    }

    @Override
    public void found(FoundPedals pedals, FoundContact contact) {
        told = true;
        Device device = contact.device();
        out.printf(
                "%n# %s: %s%n",
                DeviceLines.shown(device.name()), contact.signal().keys());
        if (contact.signal() instanceof Signal.Key key && key.types() && typing.add(device)) {
            out.println(
                    "# It types into whatever has the keyboard now. While instep runs, grab: true keeps that away.");
        }
        String twins = pedals.twins(device);
        if (!twins.isEmpty()) {
            out.println("# " + twins);
        }
        out.print(pedals.yaml(List.of(device)));
        out.flush();
    }

    @Override
    public void bounces(FoundPedals pedals, FoundContact contact, String words) {
        out.println("# " + words);
        out.flush();
    }
}
