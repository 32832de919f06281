package instep.journal;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/** Which fields a kind of record has, besides those that every record has; docs/journal.md in the form of code. */
final class RecordShape {
    /** What stands after the colon. */
    enum Type {
        TEXT("a text"),
        NUMBER("a whole number"),
        FLAG("true or false");

        private final String words;

        Type(String words) {
            this.words = words;
        }

        boolean holds(Object value) {
            return switch (this) {
                case TEXT -> value instanceof String;
                case NUMBER -> value instanceof Integer || value instanceof Long;
                case FLAG -> value instanceof Boolean;
            };
        }
    }

    /** One field; one that is not required is left out where it does not apply. */
    record Field(String name, Type type, boolean required) {}

    private RecordShape() {}

    /** The fields of a kind, in the order in which they are written. */
    static List<Field> of(Kind kind) {
        return switch (kind) {
            case START ->
                List.of(
                        maybe(number(Key.FORMAT)),
                        text(Key.VERSION),
                        text(Key.FILE),
                        number(Key.PID),
                        text(Key.RATE),
                        maybe(number(Key.SETTLE_US)),
                        maybe(text(Key.SPEED)),
                        maybe(text(Key.REPLAYS)));
            case CONFIG -> List.of(text(Key.FILE), text(Key.SHA256), maybe(text(Key.CHANGE)), text(Key.TEXT));
            case EDGE -> List.of(text(Key.CONTACT), flag(Key.CLOSED), maybe(flag(Key.LOST)), maybe(number(Key.COUNTS)));
            case POSITION -> List.of(text(Key.CONTACT), text(Key.VALUE));
            case GESTURE -> List.of(text(Key.EVENT), number(Key.BEGAN), maybe(number(Key.CAUSE)));
            case TRANSITION ->
                List.of(
                        text(Key.FROM),
                        text(Key.TO),
                        text(Key.EVENT),
                        maybe(flag(Key.RETURNING)),
                        maybe(number(Key.LINE)),
                        maybe(number(Key.CAUSE)));
            case CUT ->
                List.of(
                        text(Key.ANGLE),
                        maybe(text(Key.FROM)),
                        maybe(text(Key.BY)),
                        maybe(number(Key.CAUSE)),
                        maybe(number(Key.BEGAN)));
            case CONFIRMED ->
                List.of(
                        text(Key.GEAR),
                        text(Key.ANGLE),
                        maybe(number(Key.TICKET)),
                        maybe(number(Key.LATENCY_US)),
                        maybe(flag(Key.AGAIN)));
            case TAKE_OPEN ->
                List.of(number(Key.TAKE), maybe(flag(Key.RESUMED)), maybe(number(Key.LASTED)), maybe(text(Key.BOOT)));
            case TAKE_CLOSE -> List.of(number(Key.TAKE));
            case MARK -> List.of(text(Key.MARK), maybe(text(Key.TEXT)), maybe(number(Key.CAUSE)));
            case SENT ->
                List.of(text(Key.GEAR), text(Key.WHAT), maybe(number(Key.TICKET)), maybe(number(Key.LATENCY_US)));
            case REPLY ->
                List.of(
                        text(Key.GEAR),
                        text(Key.TEXT),
                        maybe(number(Key.TICKET)),
                        maybe(flag(Key.HEEDED)),
                        maybe(number(Key.COUNTS)),
                        maybe(text(Key.TIMECODE)));
            case MISSED -> List.of(text(Key.GEAR), text(Key.WHAT), text(Key.WHY), maybe(number(Key.TICKET)));
            case LINK -> List.of(text(Key.GEAR), text(Key.STATE), maybe(text(Key.WHY)));
            case DEVICE -> List.of(text(Key.PEDAL), text(Key.STATE), maybe(text(Key.DETAIL)));
            case SYNC ->
                List.of(
                        text(Key.SOURCE),
                        maybe(text(Key.WALL)),
                        maybe(text(Key.STATE)),
                        maybe(number(Key.BEGAN)),
                        maybe(text(Key.CLOCK)),
                        maybe(number(Key.UNCERTAINTY_US)),
                        maybe(number(Key.AGE_US)),
                        maybe(number(Key.RATE_PPM)));
            case FAULT ->
                List.of(
                        maybe(text(Key.GEAR)),
                        text(Key.TEXT),
                        maybe(number(Key.TICKET)),
                        maybe(flag(Key.SILENT)),
                        maybe(text(Key.ANGLE)),
                        maybe(text(Key.ROLL)),
                        maybe(text(Key.CONFIG)),
                        maybe(text(Key.JOURNAL)),
                        maybe(number(Key.GAP)));
            case NOTE -> List.of(text(Key.TEXT), maybe(text(Key.FILE)), maybe(text(Key.CONFIG)));
            case STANDING ->
                List.of(
                        number(Key.TAKE),
                        maybe(number(Key.BEGAN)),
                        text(Key.ACTIVE),
                        maybe(text(Key.ANGLE)),
                        maybe(text(Key.OF)),
                        maybe(text(Key.ASKED)),
                        maybe(text(Key.LATCHED)),
                        number(Key.CHAPTER),
                        text(Key.VALUES));
            case STOP -> List.of(text(Key.WHY));
        };
    }

    /** What a record lacks or has too much of, in words; a field that is not known may be of a later version and is no fault. */
    static List<String> faults(Entry entry) {
        List<String> faults = new ArrayList<>();
        Set<Field> fields = new LinkedHashSet<>(of(entry.kind()));
        if (entry.kind().isFramed()) {
            fields.add(number(Key.FRAME));
        }
        for (Field field : fields) {
            Object value = entry.fields().get(field.name());
            if (value == null && field.required()) {
                faults.add("a record of the kind " + entry.kind().word() + " without " + field.name());
            } else if (value != null && !field.type().holds(value)) {
                faults.add(field.name() + " is not " + field.type().words);
            }
        }
        return faults;
    }

    private static Field text(String name) {
        return new Field(name, Type.TEXT, true);
    }

    private static Field number(String name) {
        return new Field(name, Type.NUMBER, true);
    }

    private static Field flag(String name) {
        return new Field(name, Type.FLAG, true);
    }

    private static Field maybe(Field field) {
        return new Field(field.name(), field.type(), false);
    }
}
