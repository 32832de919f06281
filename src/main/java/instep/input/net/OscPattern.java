package instep.input.net;

import java.util.BitSet;

/**
 * Matches the address pattern of a message against an address (OSC 1.0, "OSC Message Dispatching and Pattern Matching"). The time it takes grows
 * with the lengths of the two and no faster, whatever the pattern.
 */
public final class OscPattern {
    private final String pattern;
    private final String address;
    /** Where in the address one may stand after as much of the pattern as is read. */
    private BitSet at = new BitSet();

    private int next;

    private OscPattern(String pattern, String address) {
        this.pattern = pattern;
        this.address = address;
        at.set(0);
    }

    /** Whether the pattern stands for the address; a pattern that is not well formed stands for none. */
    public static boolean matches(String pattern, String address) {
        return pattern.equals(address) || new OscPattern(pattern, address).matches();
    }

    private boolean matches() {
        while (next < pattern.length() && !at.isEmpty()) {
            char c = pattern.charAt(next++);
            switch (c) {
                case '*' -> any();
                case '?' -> step("/", true);
                case '[' -> list();
                case '{' -> choice();
                default -> step(String.valueOf(c), false);
            }
        }
        return at.get(address.length());
    }

    /** Any characters, or none; a part of the address ends at its slash. */
    private void any() {
        for (int i = at.nextSetBit(0); i >= 0; i = at.nextSetBit(i + 1)) {
            if (i < address.length() && address.charAt(i) != '/') {
                at.set(i + 1);
            }
        }
    }

    /** One character that is among some, or that is not. */
    private void step(String some, boolean except) {
        BitSet after = new BitSet();
        for (int i = at.nextSetBit(0); i >= 0 && i < address.length(); i = at.nextSetBit(i + 1)) {
            char c = address.charAt(i);
            if (some.indexOf(c) >= 0 != except) {
                after.set(i + 1);
            }
        }
        at = after;
    }

    /** In brackets: single characters, ranges with a minus between, an exclamation point in front for all others. */
    private void list() {
        int end = pattern.indexOf(']', next);
        if (end < 0) {
            at.clear();
            return;
        }
        boolean except = pattern.charAt(next) == '!';
        StringBuilder some = new StringBuilder();
        for (int i = except ? next + 1 : next; i < end; i++) {
            boolean range = i + 2 < end && pattern.charAt(i + 1) == '-';
            char last = pattern.charAt(range ? i + 2 : i);
            for (char c = pattern.charAt(i); c <= last && c < 0x80; c++) {
                some.append(c);
            }
            i += range ? 2 : 0;
        }
        next = end + 1;
        step(except ? some + "/" : some.toString().replace("/", ""), except);
    }

    /** In braces: words with commas between. */
    private void choice() {
        int end = pattern.indexOf('}', next);
        BitSet after = new BitSet();
        for (int from = next; end >= 0 && from <= end; ) {
            int comma = pattern.indexOf(',', from);
            int to = comma < 0 || comma > end ? end : comma;
            for (int i = at.nextSetBit(0); i >= 0; i = at.nextSetBit(i + 1)) {
                if (address.regionMatches(i, pattern, from, to - from)) {
                    after.set(i + to - from);
                }
            }
            from = to + 1;
        }
        at = after;
        next = end < 0 ? pattern.length() : end + 1;
    }
}
