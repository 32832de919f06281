package instep.journal;

import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * What a record tells, without its number and time: a kind and that kind's fields. Made on the loop thread for the price of one array, read on
 * the writer's. A field whose value is null is left out of the record; a number that does not apply is given as a negative.
 */
public final class Happening {
    private final Kind kind;
    private final @Nullable Object[] fields;

    Happening(Kind kind, @Nullable Object... fields) {
        this.kind = kind;
        this.fields = fields;
    }

    /** What a record told that was read back. */
    static Happening of(Entry entry) {
        Object[] fields = new Object[2 * entry.fields().size()];
        int at = 0;
        for (Map.Entry<String, Object> field : entry.fields().entrySet()) {
            fields[at++] = field.getKey();
            fields[at++] = field.getValue() instanceof Integer number ? (Object) number.longValue() : field.getValue();
        }
        return new Happening(entry.kind(), fields);
    }

    /** A configuration came into force. */
    public static Happening config(String file, String sha256, String text) {
        return config(file, sha256, text, null);
    }

    /** A configuration took the place of another one; {@code change} says what became of gear, pedals and states. */
    public static Happening reloaded(String file, String sha256, String text, String change) {
        return config(file, sha256, text, change);
    }

    private static Happening config(String file, String sha256, String text, @Nullable String change) {
        return new Happening(Kind.CONFIG, Key.FILE, file, Key.SHA256, sha256, Key.CHANGE, change, Key.TEXT, text);
    }

    /** A contact closed or opened; {@code lost}: it was opened because its device vanished. */
    public static Happening edge(String contact, boolean closed, boolean lost) {
        return lateEdge(contact, closed, lost, -1);
    }

    /** The same, read when all up to the instant {@code counts} was decided already: it counts as of then. */
    public static Happening lateEdge(String contact, boolean closed, boolean lost, long counts) {
        return new Happening(
                Kind.EDGE,
                Key.CONTACT,
                contact,
                Key.CLOSED,
                closed,
                Key.LOST,
                lost ? true : null,
                Key.COUNTS,
                some(counts));
    }

    /** A contact is there now on its scale, and that is sent. */
    public static Happening position(String contact, String value) {
        return new Happening(Kind.POSITION, Key.CONTACT, contact, Key.VALUE, value);
    }

    /** A gesture was recognized, such as {@code floor.left.press}; {@code cause} is the record of the edge that it began with. */
    public static Happening gesture(String event, long began, long cause) {
        return new Happening(Kind.GESTURE, Key.EVENT, event, Key.BEGAN, began, Key.CAUSE, some(cause));
    }

    /** A transition was taken, or a detour of it ended ({@code returning}); {@code line} is where the configuration says so. */
    public static Happening transition(Step step, String event, int line, long cause) {
        return new Happening(
                Kind.TRANSITION,
                Key.FROM,
                step.from(),
                Key.TO,
                step.to(),
                Key.EVENT,
                event,
                Key.RETURNING,
                step.returning() ? true : null,
                Key.LINE,
                some(line),
                Key.CAUSE,
                some(cause));
    }

    /** Another angle is on air; {@code from} is null if none was, {@code began} the first edge of what caused it. */
    public static Happening cut(String angle, @Nullable String from, long cause, long began) {
        return cut(angle, from, cause, began, null);
    }

    /** Somebody else put another angle on air, as the gear {@code by} says in the record {@code cause}. */
    public static Happening cutBy(String angle, @Nullable String from, long cause, String by) {
        return cut(angle, from, cause, -1, by);
    }

    private static Happening cut(String angle, @Nullable String from, long cause, long began, @Nullable String by) {
        return new Happening(
                Kind.CUT, Key.ANGLE, angle, Key.FROM, from, Key.BY, by, Key.CAUSE, some(cause), Key.BEGAN, some(began));
    }

    /**
     * The gear says that the cut of the record {@code ticket} is on air.
     *
     * @param latencyMicros so many microseconds after the cut was decided or, where the gear was told {@code again} what should be on air, after that
     */
    public static Happening confirmed(String gear, String angle, long ticket, long latencyMicros, boolean again) {
        return new Happening(
                Kind.CONFIRMED,
                Key.GEAR,
                gear,
                Key.ANGLE,
                angle,
                Key.TICKET,
                some(ticket),
                Key.LATENCY_US,
                some(latencyMicros),
                Key.AGAIN,
                again ? Boolean.TRUE : null);
    }

    /** A take began. */
    public static Happening takeOpen(long take) {
        return takeOpen(take, null);
    }

    /** A take began while this computer runs since the boot of that name; null: it has none. */
    public static Happening takeOpen(long take, @Nullable String boot) {
        return new Happening(Kind.TAKE_OPEN, Key.TAKE, take, Key.RESUMED, null, Key.LASTED, null, Key.BOOT, boot);
    }

    /** A take goes on that an earlier run had left open, and that began so many frames ago. */
    public static Happening takeResumed(long take, long lasted) {
        return takeResumed(take, lasted, null);
    }

    /** The same, since the boot of that name. */
    public static Happening takeResumed(long take, long lasted, @Nullable String boot) {
        return new Happening(Kind.TAKE_OPEN, Key.TAKE, take, Key.RESUMED, true, Key.LASTED, lasted, Key.BOOT, boot);
    }

    /** Something that is worth knowing, and no fault. */
    public static Happening note(String text) {
        return note(text, null, null);
    }

    private static Happening note(String text, @Nullable String file, @Nullable String config) {
        return new Happening(Kind.NOTE, Key.TEXT, text, Key.FILE, file, Key.CONFIG, config);
    }

    /** The configuration that is in that file is sound; it is the one in force, or will be. */
    public static Happening configNote(String file, String text) {
        return note(text, null, file);
    }

    /** A take ended; its frame is the first that is no longer in it. */
    public static Happening takeClose(long take) {
        return new Happening(Kind.TAKE_CLOSE, Key.TAKE, take);
    }

    /** A mark was set, such as {@code retake}. */
    public static Happening mark(String mark, @Nullable String text, long cause) {
        return new Happening(Kind.MARK, Key.MARK, mark, Key.TEXT, text, Key.CAUSE, some(cause));
    }

    /** The socket took a message; {@code latencyMicros} from the edge that caused it, negative if no edge did. */
    public static Happening sent(String gear, String what, long ticket, long latencyMicros) {
        return new Happening(
                Kind.SENT,
                Key.GEAR,
                gear,
                Key.WHAT,
                what,
                Key.TICKET,
                some(ticket),
                Key.LATENCY_US,
                some(latencyMicros));
    }

    /** The gear said something; {@code ticket} of what it answers, negative if nobody asked. */
    public static Happening reply(String gear, String text, long ticket) {
        return reply(gear, text, ticket, null, -1, null);
    }

    /** The same, and all that follows from it is its timecode. */
    public static Happening reply(String gear, String text, long ticket, String timecode) {
        return reply(gear, text, ticket, null, -1, timecode);
    }

    /**
     * The same, and one of the patterns of the configuration took it.
     *
     * @param counts up to when all was decided already that was due by itself, if that is later than it should be; negative: it is not
     * @param timecode the label of its own that it tells; null: none
     */
    public static Happening heeded(String gear, String text, long ticket, long counts, @Nullable String timecode) {
        return reply(gear, text, ticket, true, counts, timecode);
    }

    private static Happening reply(
            String gear, String text, long ticket, @Nullable Boolean heeded, long counts, @Nullable String timecode) {
        return new Happening(
                Kind.REPLY,
                Key.GEAR,
                gear,
                Key.TEXT,
                text,
                Key.TICKET,
                some(ticket),
                Key.HEEDED,
                heeded,
                Key.COUNTS,
                some(counts),
                Key.TIMECODE,
                timecode);
    }

    /** A message was not sent and will not be. */
    public static Happening missed(String gear, String what, String why, long ticket) {
        return new Happening(Kind.MISSED, Key.GEAR, gear, Key.WHAT, what, Key.WHY, why, Key.TICKET, some(ticket));
    }

    /** A link to gear changed: {@code state} is {@code up} or {@code lost}. */
    public static Happening link(String gear, String state, @Nullable String why) {
        return new Happening(Kind.LINK, Key.GEAR, gear, Key.STATE, state, Key.WHY, why);
    }

    /** A pedal unit came, went or cannot be used: {@code state} is {@code up}, {@code absent} or {@code denied}. */
    public static Happening device(String pedal, String state, @Nullable String detail) {
        return new Happening(Kind.DEVICE, Key.PEDAL, pedal, Key.STATE, state, Key.DETAIL, detail);
    }

    /** Something is wrong; {@code text} says what, where, and what to do. */
    public static Happening fault(String text) {
        return new Happening(Kind.FAULT, Key.TEXT, text);
    }

    /** The configuration that is in that file now is not taken up. */
    public static Happening configFault(String file, String text) {
        return new Happening(Kind.FAULT, Key.TEXT, text, Key.CONFIG, file);
    }

    /** A file of the journal was removed, so that the others keep within their budget. */
    static Happening removed(String file) {
        String text = file + " was removed, with the takes in it, to keep the journal within its budget";
        return note(text, file, null);
    }

    /** The disk does not take records of the journal any more ({@code failing}), or takes them again ({@code back}). */
    public static Happening journalFault(String text, boolean failing) {
        return new Happening(Kind.FAULT, Key.TEXT, text, Key.JOURNAL, failing ? "failing" : "back");
    }

    /** The daemon ended in good order. */
    public static Happening stop(String why) {
        return new Happening(Kind.STOP, Key.WHY, why);
    }

    /** From which state to which; {@code returning}: a detour ended. */
    public record Step(String from, String to, boolean returning) {}

    /** The kind of record. */
    public Kind kind() {
        return kind;
    }

    int size() {
        return fields.length / 2;
    }

    String key(int index) {
        return (String) present(fields[2 * index]);
    }

    @Nullable Object value(int index) {
        return fields[2 * index + 1];
    }

    /** The text of a field; empty if the record has none of that name. */
    public String text(String key) {
        for (int i = 0; i < size(); i++) {
            if (key(i).equals(key)) {
                Object value = value(i);
                return value == null ? "" : value.toString();
            }
        }
        return "";
    }

    /** The number in a field; -1 if the record has none of that name. */
    public long number(String key) {
        for (int i = 0; i < size(); i++) {
            if (key(i).equals(key) && value(i) instanceof Long number) {
                return number;
            }
        }
        return -1;
    }

    static @Nullable Long some(long number) {
        return number < 0 ? null : number;
    }

    private static Object present(@Nullable Object key) {
        if (key == null) {
            throw new IllegalStateException("a field without a name");
        }
        return key;
    }
}
