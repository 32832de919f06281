package instep.command;

/** Keeps libraries from talking or working at start. What the launcher has set already stays as it is. */
public final class Quiet {
    private Quiet() {}

    public static void libraries() {
        // Few, small, short-lived buffers on one thread: a pool would only hold memory.
        orElse("io.netty.allocator.type", "unpooled");
        orElse("io.netty.leakDetection.level", "disabled");
        // Netty would look through all network interfaces for an address to name channels by; nobody reads those names.
        orElse("io.netty.machineId", "02:00:00:00:00:01");
        // A console is a terminal only if it is one (newer Java would say yes to a pipe, too).
        orElse("jdk.console", "java.base");
        // The jar's own native part is the one that fits; looking for another runs a program at start.
        orElse("jna.nosys", "true");
    }

    private static void orElse(String property, String value) {
        if (System.getProperty(property) == null) {
            System.setProperty(property, value);
        }
    }
}
