package instep.lab;

import com.fasterxml.jackson.jr.ob.JSON;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Map;

/** A line of the program's journal, read as any program would that knows JSON (RFC 8259) and the names of its members. */
record JournalLine(Map<String, Object> members) {
    static JournalLine parse(String line) {
        try {
            return new JournalLine(JSON.std.mapFrom(line));
        } catch (IOException e) {
            throw new UncheckedIOException("no JSON object: " + line, e);
        }
    }

    boolean is(String kind) {
        return text("kind").equals(kind);
    }

    boolean isEdgeOf(String pedal) {
        return is("edge") && text("contact").startsWith(pedal + ".");
    }

    /** Empty if there is no such member. */
    String text(String member) {
        return String.valueOf(members.getOrDefault(member, ""));
    }

    boolean flag(String member) {
        return Boolean.TRUE.equals(members.get(member));
    }

    /** -1 if there is no such member. */
    long number(String member) {
        return members.get(member) instanceof Number number ? number.longValue() : -1;
    }
}
