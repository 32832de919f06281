package instep.input;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.function.BiFunction;
import java.util.stream.Stream;

/** Where reports are written to a pedal unit's own device. Looks into the kernel's sysfs and opens nothing; any thread, but not the loop. */
public final class OutputReports {
    private OutputReports() {}

    /** Whether such a pedal unit can have lamps: it has to be a HID device of this machine. */
    public static boolean canBeSentTo(PedalSettings pedal) {
        return pedal instanceof PedalSettings.Events || pedal instanceof PedalSettings.Reports;
    }

    /** The raw node of the unit's device; empty if it is not there, or is no HID device. Of devices that are alike it is the one that {@code which} counts to. */
    public static Optional<Path> node(PedalSettings pedal) {
        return node(pedal, Host.machine().sysfs());
    }

    /** The same while the unit's device is read: of devices that are alike it is that one. */
    public static Optional<Path> node(PedalSettings pedal, Ports ports) {
        return node(pedal, Host.machine().sysfs(), ports);
    }

    static Optional<Path> node(PedalSettings pedal, Sysfs sysfs) {
        return node(pedal, sysfs, (match, nodes) -> nodes.stream().skip(match.which() - 1));
    }

    static Optional<Path> node(PedalSettings pedal, Sysfs sysfs, Ports ports) {
        Optional<String> place = ports.of(pedal.name());
        return node(
                pedal,
                sysfs,
                (match, nodes) -> nodes.stream()
                        .filter(node -> place.isPresent() && place.get().equals(Places.of(node))));
    }

    private static Optional<Path> node(
            PedalSettings pedal, Sysfs sysfs, BiFunction<DeviceMatch, List<DeviceNode>, Stream<DeviceNode>> choice) {
        if (pedal instanceof PedalSettings.Events events) {
            return choice.apply(events.match(), able(new Wanted(events, events.match(), sysfs), sysfs.events()))
                    .findFirst()
                    .flatMap(sysfs::rawOf);
        }
        return pedal instanceof PedalSettings.Reports reports
                ? choice.apply(reports.match(), able(new Wanted(reports, reports.match(), sysfs), sysfs.raws()))
                        .findFirst()
                        .map(DeviceNode::node)
                : Optional.empty();
    }

    private static List<DeviceNode> able(Wanted wanted, List<DeviceNode> nodes) {
        return wanted.matching(nodes).stream()
                .filter(node -> wanted.lacking(node).isEmpty())
                .toList();
    }
}
