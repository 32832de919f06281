package instep.input.net;

import java.net.InetAddress;
import java.net.UnknownHostException;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * The addresses that begin alike: one address, or an address and how many of its first bits count (RFC 4632, section 3.1; RFC 4291, section
 * 2.3). Never a name, so that nothing has to be looked up. Immutable.
 *
 * @param address the first of them
 * @param bits how many bits count
 */
public record Prefix(InetAddress address, int bits) {
    private static final Pattern FORM =
            Pattern.compile("([0-9]{1,3}(?:\\.[0-9]{1,3}){3}|[0-9a-fA-F:]*:[0-9a-fA-F:.]*)(?:/([0-9]{1,3}))?");

    /** Reads {@code 192.0.2.7}, {@code 192.0.2.0/24} or {@code 2001:db8::/32}; empty if it is none. */
    public static Optional<Prefix> parse(String text) {
        Matcher matcher = FORM.matcher(text);
        if (!matcher.matches()) {
            return Optional.empty();
        }
        try {
            // What has this form is never looked up.
            InetAddress address = InetAddress.getByName(matcher.group(1));
            int all = address.getAddress().length * Byte.SIZE;
            int bits = matcher.group(2) == null ? all : Integer.parseInt(matcher.group(2));
            return bits > all ? Optional.empty() : Optional.of(new Prefix(address, bits));
        } catch (UnknownHostException e) {
            return Optional.empty();
        }
    }

    /** Whether it is a single address. */
    public boolean isWhole() {
        return bits == address.getAddress().length * Byte.SIZE;
    }

    /** Whether an address begins like this. */
    public boolean contains(InetAddress other) {
        byte[] ours = address.getAddress();
        byte[] theirs = other.getAddress();
        if (ours.length != theirs.length) {
            return false;
        }
        for (int bit = 0; bit < bits; bit += Byte.SIZE) {
            int left = Math.min(Byte.SIZE, bits - bit);
            int differs = (ours[bit / Byte.SIZE] ^ theirs[bit / Byte.SIZE]) & 0xff;
            if (differs >>> (Byte.SIZE - left) != 0) {
                return false;
            }
        }
        return true;
    }
}
