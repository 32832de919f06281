package instep.time;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.LongRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ElapsedTest {
    @ParameterizedTest
    @CsvSource({
        "0, 0.000",
        "5250000000, 5.250",
        "59999999999, 59.999999999",
        "60000000000, 1:00.000",
        "3600000000001, 60:00.000000001"
    })
    void isWrittenWithMillisecondsOrAsManyDecimalsAsItNeeds(long nanos, String text) {
        assertThat(Elapsed.text(nanos)).isEqualTo(text);
    }

    @Test
    void isReadWithAndWithoutMinutes() {
        assertThat(Elapsed.parse("65.25")).isEqualTo(Elapsed.parse("1:05.250"));
        assertThat(Elapsed.parse("7")).isEqualTo(7_000_000_000L);
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "-1", "1:5", "1:60", "1.0000000001", "1,5", ".5", "1:00:00"})
    void refusesWhatIsNoTime(String text) {
        assertThatThrownBy(() -> Elapsed.parse(text))
                .isInstanceOf(TimeSyntaxException.class)
                .hasMessageContaining("\"" + text + "\" is not a time");
    }

    @Property
    void readsBackWhatItWrites(@ForAll @LongRange(min = 0, max = 1_000_000_000_000_000L) long nanos) {
        assertThat(Elapsed.parse(Elapsed.text(nanos))).isEqualTo(nanos);
    }
}
