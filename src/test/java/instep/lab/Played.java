package instep.lab;

/**
 * A line of pedalsim's log: something that was done to a device.
 *
 * @param what plug, unplug, report or say
 * @param before the monotonic time before the kernel was called, in nanoseconds
 * @param after the time after that; what the kernel stamped meanwhile lies between
 * @param device its name in the script
 * @param rest the nodes, or what was reported, such as {@code down 1}
 */
record Played(String what, long before, long after, String device, String rest) {
    /** evdev tells its stamps in whole microseconds (struct input_event in linux/input.h). */
    private static final long GRAIN_NANOS = 1_000;

    static Played parse(String line) {
        String[] words = line.split(" ", 5);
        return new Played(words[0], Long.parseLong(words[1]), Long.parseLong(words[2]), words[3], words[4]);
    }

    boolean isPress() {
        return rest.startsWith("down ");
    }

    /** Counted from 1. */
    int pedal() {
        return Integer.parseInt(rest.substring(rest.indexOf(' ') + 1));
    }

    boolean holdsKernelStamp(long nanos) {
        return before - GRAIN_NANOS < nanos && nanos <= after;
    }
}
