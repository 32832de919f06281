package instep.input;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/** Where reports are written to a pedal unit's own device. Looks into the kernel's sysfs and opens nothing; any thread, but not the loop. */
public final class OutputReports {
    private OutputReports() {}

    /** Whether such a pedal unit can have lamps: it has to be a HID device of this machine. */
    public static boolean canBeSentTo(PedalSettings pedal) {
        return pedal instanceof PedalSettings.Events || pedal instanceof PedalSettings.Reports;
    }

    /** The raw node of the unit's device; empty if it is not there, or is no HID device. */
    public static Optional<Path> node(PedalSettings pedal) {
        return node(pedal, Host.machine().sysfs());
    }

    static Optional<Path> node(PedalSettings pedal, Sysfs sysfs) {
        if (pedal instanceof PedalSettings.Events events) {
            return chosen(new Wanted(events, events.match(), sysfs), events.match(), sysfs.events())
                    .flatMap(sysfs::rawOf);
        }
        return pedal instanceof PedalSettings.Reports reports
                ? chosen(new Wanted(reports, reports.match(), sysfs), reports.match(), sysfs.raws())
                        .map(DeviceNode::node)
                : Optional.empty();
    }

    private static Optional<DeviceNode> chosen(Wanted wanted, DeviceMatch match, List<DeviceNode> nodes) {
        return wanted.matching(nodes).stream()
                .filter(node -> wanted.lacking(node).isEmpty())
                .skip(match.which() - 1)
                .findFirst();
    }
}
