package instep.input;

/**
 * What an event device can send, as sysfs prints it: sets of codes in hex words of 64 bits, the highest first. Where one is empty, nothing
 * is known of it.
 */
record Capabilities(String keys, String axes, String wheels) {
    static final Capabilities UNKNOWN = new Capabilities("", "", "");

    /** Whether it has the key; one that does not list its keys may have any. */
    boolean hasKey(int code) {
        return has(keys, code);
    }

    boolean hasAxis(int code) {
        return has(axes, code);
    }

    boolean hasWheel(int code) {
        return has(wheels, code);
    }

    /** Whether it says that it has keys, axes or wheels. */
    boolean couldBePedal() {
        return (keys + axes + wheels).chars().anyMatch(c -> c != '0' && c != ' ');
    }

    /** Whether it says that it has the axis. */
    boolean namesAxis(int code) {
        return !axes.isEmpty() && has(axes, code);
    }

    private static boolean has(String mask, int code) {
        if (mask.isEmpty()) {
            return true;
        }
        String[] words = mask.split(" ");
        int word = words.length - 1 - code / Long.SIZE;
        return word >= 0 && (Long.parseUnsignedLong(words[word], 16) >>> code & 1) != 0;
    }
}
