package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.regex.Pattern;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.LongRange;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class Rfc3339Test {
    // RFC 3339, section 5.6, with the upper-case letters that section 5.6 recommends.
    private static final Pattern DATE_TIME = Pattern.compile(
            "\\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\\d|3[01])T([01]\\d|2[0-3]):[0-5]\\d:([0-5]\\d|60)(\\.\\d+)?"
                    + "(Z|[+-]([01]\\d|2[0-3]):[0-5]\\d)");

    // The instants of RFC 3339, section 5.8, in the zones that are meant.
    @ParameterizedTest
    @CsvSource({
        "1985-04-12T23:20:50.52Z,     UTC,                 1985-04-12T23:20:50.520000000Z",
        "1996-12-20T00:39:57Z,        America/Los_Angeles, 1996-12-19T16:39:57.000000000-08:00",
        "1937-01-01T11:40:27.87Z,     +00:20,              1937-01-01T12:00:27.870000000+00:20",
    })
    void writesTheExamplesOfTheStandard(Instant instant, String zone, String text) {
        assertThat(Rfc3339.text(nanos(instant), ZoneId.of(zone))).isEqualTo(text);
    }

    @ParameterizedTest
    @ValueSource(strings = {"UTC", "Europe/Vienna", "Asia/Kathmandu", "America/St_Johns", "Pacific/Chatham"})
    void followsSummerTime(String zone) {
        for (long hour = 0; hour < 2 * 366 * 24; hour++) {
            long instant = TestJournal.WALL + hour * 3_600 * TestJournal.SECOND + 123_456_789;
            assertThat(OffsetDateTime.parse(Rfc3339.text(instant, ZoneId.of(zone))))
                    .isEqualTo(Instant.ofEpochSecond(0, instant)
                            .atZone(ZoneId.of(zone))
                            .toOffsetDateTime());
        }
    }

    /** From 1700 to 2262, local mean times with seconds in their offsets included. */
    @Property
    void alwaysHasTheStandardsShape(@ForAll @LongRange(min = -8_500_000_000_000_000_000L) long instant) {
        String text = Rfc3339.text(instant, TestJournal.ZONE);
        assertThat(text).matches(DATE_TIME);
        assertThat(OffsetDateTime.parse(text).toInstant()).isEqualTo(Instant.ofEpochSecond(0, instant));
    }

    private static long nanos(Instant instant) {
        return instant.getEpochSecond() * TestJournal.SECOND + instant.getNano();
    }
}
