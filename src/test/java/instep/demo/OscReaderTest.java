package instep.demo;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.util.HexFormat;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class OscReaderTest {
    /** OSC 1.0 specification, examples page, "OSC Message Examples", both. */
    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
                    2f6f7363696c6c61746f722f342f6672657175656e6379002c66000043dc0000 | /oscillator/4/frequency 440.0
                    2f666f6f000000002c69697366660000000003e8ffffffff68656c6c6f0000003f9df3b640b5b22d | /foo 1000 -1 "hello" 1.234 5.678
                    """)
    void readsTheSpecificationsExamples(String hex, String readable) {
        assertThat(read(hex)).hasToString(readable);
    }

    @ParameterizedTest
    @CsvSource({
        "2f6100, it ends too soon",
        "2f6100002c690000, it ends too soon",
        "2f6100002c620000000000ff00, it ends too soon",
        "2f6100002c00000000, 1 bytes too many",
        "2f6100012c000000, padding that is not zero",
        "2f6100002c780000, unknown type tag x",
        "610000002c000000, an address begins with / and type tags with a comma"
    })
    void refusesWhatIsNotExactlyOneMessage(String hex, String why) {
        assertThatIllegalArgumentException().isThrownBy(() -> read(hex)).withMessage(why);
    }

    private static OscReader.Message read(String hex) {
        return OscReader.read(HexFormat.of().parseHex(hex));
    }
}
