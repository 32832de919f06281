package instep.journal;

import java.time.OffsetDateTime;
import java.util.Collections;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;

/**
 * A record as read back from a journal.
 *
 * @param seq its number within the run, from 1
 * @param at its wall time, RFC 3339
 * @param mono its monotonic time in nanoseconds, comparable within the run
 * @param tc its timecode label
 * @param fields what its kind tells, in the order of the file; numbers are {@code Integer} or {@code Long}
 */
public record Entry(long seq, String at, long mono, String tc, Kind kind, Map<String, Object> fields) {
    public Entry {
        fields = Collections.unmodifiableMap(fields);
    }

    /** The wall time as a value. */
    public OffsetDateTime time() {
        return OffsetDateTime.parse(at);
    }

    /** The text of a field. */
    public Optional<String> text(String key) {
        return Optional.ofNullable(fields.get(key)).map(Object::toString);
    }

    /** The number in a field. */
    public OptionalLong number(String key) {
        return fields.get(key) instanceof Number number ? OptionalLong.of(number.longValue()) : OptionalLong.empty();
    }
}
