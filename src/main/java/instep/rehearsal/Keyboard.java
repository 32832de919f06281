package instep.rehearsal;

import instep.daemon.Loop;
import instep.gesture.Contact;
import instep.input.InputListener;
import java.util.List;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;

/**
 * Contacts by typed digits: {@code 2} closes the second contact and opens it shortly after, {@code 2+} closes it, {@code 2-} opens it. What stands on one
 * line is done at once.
 */
public final class Keyboard {
    private static final long SHORTLY_NANOS = 120_000_000L;
    private static final Pattern LINE = Pattern.compile("(?:\\s*[1-9][+-]?)*\\s*");
    private static final Pattern KEY = Pattern.compile("([1-9])([+-]?)");

    private final List<Contact> contacts;
    private final Loop loop;
    private final InputListener listener;

    public Keyboard(List<Contact> contacts, Loop loop, InputListener listener) {
        this.contacts = contacts;
        this.loop = loop;
        this.listener = listener;
    }

    /** Which digit is which contact, and how to type. */
    public String legend() {
        StringBuilder legend = new StringBuilder("Type a digit and Enter:");
        for (int i = 0; i < Math.min(9, contacts.size()); i++) {
            legend.append(i == 0 ? " " : ", ")
                    .append(i + 1)
                    .append(" ")
                    .append(contacts.get(i).fullName());
        }
        return legend.append(
                        ".\n1 presses it for a moment, 1+ keeps it down, 1- lets it go, 1+2+ both at once. Ctrl-D ends.")
                .toString();
    }

    /** Does what was typed, from any thread; returns what was wrong with it, else an empty text. */
    public String type(String line) {
        if (!LINE.matcher(line).matches()) {
            return "Only digits from 1 to " + Math.min(9, contacts.size()) + ", each with + or - after it, or neither.";
        }
        List<MatchResult> keys = KEY.matcher(line).results().toList();
        for (MatchResult key : keys) {
            if (contact(key) >= contacts.size()) {
                return "There is no contact " + key.group(1) + ".";
            }
        }
        loop.later(() -> {
            long now = loop.now();
            keys.forEach(key -> type(contact(key), key.group(2), now));
        });
        return "";
    }

    private static int contact(MatchResult key) {
        return key.group(1).charAt(0) - '1';
    }

    private void type(int contact, String sign, long now) {
        if (!sign.equals("-")) {
            listener.edge(contact, true, false, now);
        }
        if (sign.equals("-")) {
            listener.edge(contact, false, false, now);
        } else if (sign.isEmpty()) {
            long end = now + SHORTLY_NANOS;
            loop.at(end, () -> listener.edge(contact, false, false, end));
        }
    }
}
