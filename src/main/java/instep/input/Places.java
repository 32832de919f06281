package instep.input;

import java.util.Comparator;

/** The order of devices by where they are plugged in: port 2 before port 10. */
final class Places {
    static final Comparator<DeviceNode> ORDER = Comparator.comparing((DeviceNode node) -> sortable(node.phys()))
            .thenComparing(node -> sortable(node.file()));

    private static final int DIGITS = 6;

    private Places() {}

    /** What tells the place of a device from all others: its port; what has none stays the same device by its serial number, else by its node. */
    static String of(DeviceNode node) {
        if (!node.phys().isEmpty()) {
            return node.phys();
        }
        return node.serial().isEmpty() ? node.node().toString() : node.serial();
    }

    /** Numbers in it are made so long that texts sort by their values. */
    static String sortable(String text) {
        StringBuilder out = new StringBuilder();
        int digits = 0;
        for (int i = text.length() - 1; i >= 0; i--) {
            boolean digit = Character.isDigit(text.charAt(i));
            if (!digit && digits > 0) {
                out.append("0".repeat(Math.max(0, DIGITS - digits)));
            }
            digits = digit ? digits + 1 : 0;
            out.append(text.charAt(i));
        }
        return out.append("0".repeat(digits > 0 ? Math.max(0, DIGITS - digits) : 0))
                .reverse()
                .toString();
    }
}
