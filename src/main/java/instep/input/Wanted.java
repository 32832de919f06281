package instep.input;

import java.util.Collection;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** What a pedal unit of the configuration asks of a device. */
record Wanted(PedalSettings settings, DeviceMatch match, Sysfs sysfs) {
    /** The devices that match, in the order of where they are plugged in. */
    List<DeviceNode> matching(Collection<DeviceNode> nodes) {
        return nodes.stream().filter(match::matches).sorted(Places.ORDER).toList();
    }

    /** A key, axis, wheel, usage or usage page that is configured and that the device does not have. */
    Optional<String> lacking(DeviceNode node) {
        if (settings instanceof PedalSettings.Reports reports) {
            return reports.usages().isEmpty() && reports.page() == PedalSettings.ANY_PAGE
                    ? Optional.empty()
                    : layout(reports, node).lacking();
        }
        if (!(settings instanceof PedalSettings.Events events)) {
            return Optional.empty(); // a raw MIDI device does not say what it can send
        }
        Capabilities has = node.capabilities();
        Stream<String> keys = events.keys().stream()
                .filter(key -> !has.hasKey(key.code()))
                .map(key -> CodeNames.KEYS.name(key.code()));
        Stream<String> axes = events.axes().stream()
                .filter(axis -> !has.hasAxis(axis.code()))
                .map(axis -> CodeNames.AXES.name(axis.code()));
        Stream<String> wheels = events.steps().stream()
                .filter(step -> !has.hasWheel(step.code()))
                .map(step -> CodeNames.WHEELS.name(step.code()));
        return Stream.of(keys, axes, wheels).flatMap(names -> names).findFirst();
    }

    /**
     * What the reports of a device are made of.
     *
     * @param node null if nothing is known of it
     */
    ReportLayout layout(PedalSettings.Reports reports, @Nullable DeviceNode node) {
        return new ReportLayout(reports, node == null ? new byte[0] : sysfs.reportDescriptor(node));
    }
}
