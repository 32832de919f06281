package instep.input.hid;

import static org.assertj.core.api.Assertions.assertThat;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class UsageTest {
    // HID Usage Tables 1.12, table 1 and those of the pages: generic desktop 01 (X 30, hat switch 39), simulation
    // controls 02 (throttle BB), keyboard 07 (a 04), button 09, telephony 0B (hook switch 20), consumer 0C (volume
    // increment E9, play/pause CD); FF00 on are the vendors' own
    @ParameterizedTest
    @CsvSource({
        "button 3, 0x09, 3",
        "button 0x10, 0x09, 16",
        "button 010, 0x09, 10",
        "consumer 0xE9, 0x0c, 0xe9",
        "consumer 205, 0x0c, 0xcd",
        "keyboard 0x04, 0x07, 4",
        "desktop 0x30, 0x01, 0x30",
        "simulation 0xbb, 0x02, 0xbb",
        "telephony 0x20, 0x0b, 0x20",
        "0xFF00:0x01, 0xff00, 1",
        "0x1:0x39, 0x01, 0x39"
    })
    void readsAUsage(String text, String page, String id) {
        assertThat(Usage.parse(text)).contains(new Usage(Integer.decode(page), Integer.decode(id)));
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "",
                "button",
                "button 65536",
                "button 99999",
                "button x",
                "Button 3",
                "button  3",
                "knob 3",
                "0xFF00",
                "0xFF00:1",
                "0x10000:0x1",
                "button -1",
                "3",
                "consumer E9"
            })
    void refusesWhatIsNone(String text) {
        assertThat(Usage.parse(text)).isEmpty();
    }

    @Property
    void readsWhatItWrites(
            @ForAll @IntRange(min = 0, max = 0xffff) int page, @ForAll @IntRange(min = 0, max = 0xffff) int id) {
        Usage usage = new Usage(page, id);
        assertThat(Usage.parse(usage.words())).contains(usage);
    }

    @ParameterizedTest
    @CsvSource({"9, 1, 8, button 1 to 8", "9, 3, 3, button 3", "12, 0xe9, 0xea, consumer 0xe9 to 0xea"})
    void tellsOfRanges(int page, String first, String last, String words) {
        assertThat(new UsageRange(page, Integer.decode(first), Integer.decode(last)).words())
                .isEqualTo(words);
    }
}
