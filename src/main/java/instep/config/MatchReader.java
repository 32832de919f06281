package instep.config;

import instep.input.DeviceMatch;
import java.util.List;
import java.util.Locale;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Reads {@code match}: which device is meant. */
final class MatchReader {
    /** What is read on with after a fault. */
    static final DeviceMatch ANY = new DeviceMatch(null, null, null, null, null, 1);

    private static final List<String> MARKS = List.of("usb", "name", "phys", "serial", "path");
    static final List<String> KEYS = List.of("usb", "name", "phys", "serial", "path", "which");
    private static final Pattern USB = Pattern.compile("[0-9a-fA-F]{4}:[0-9a-fA-F]{4}");

    private MatchReader() {}

    static DeviceMatch read(Node node, Scalars scalars) {
        Fields fields = Fields.of(node.place(), "match", node, KEYS, scalars);
        if (MARKS.stream().noneMatch(fields::has)) {
            if (!fields.isBroken()) {
                scalars.faults().add(node.place(), "match names no device; expected " + Words.either(MARKS));
            }
            return ANY;
        }
        String usb = marked(
                fields, "usb", USB, "vendor and product as four hex digits each, such as \"1209:2303\"", scalars);
        return new DeviceMatch(
                usb == null ? null : usb.toLowerCase(Locale.ROOT),
                marked(fields, "name", Pattern.compile(".+"), "the name of a device", scalars),
                marked(
                        fields,
                        "phys",
                        Pattern.compile(".+"),
                        "where the device is plugged in, as the kernel says",
                        scalars),
                marked(fields, "serial", Pattern.compile(".+"), "the serial number of a device", scalars),
                marked(fields, "path", Pattern.compile("/.+"), "a path that begins with /", scalars),
                fields.integer("which", 1, 99, 1));
    }

    private static @Nullable String marked(Fields fields, String key, Pattern pattern, String form, Scalars scalars) {
        Node node = fields.get(key);
        if (node == null) {
            return null;
        }
        String text = scalars.text(node, form, "");
        boolean isNothing = text.isEmpty() && node.found().equals("nothing");
        if (!isNothing && node instanceof Node.Scalar && !pattern.matcher(text).matches()) {
            scalars.expected(node, form);
        }
        return text;
    }
}
