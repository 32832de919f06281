package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.input.hid.ReportDescriptor;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;

/** All that a device's own descriptor names. The items are those of HID 1.11, section 6.2.2. */
class NamedReadingTest {
    private final List<String> told = new ArrayList<>();

    private NamedReading reading(String descriptor) {
        return new NamedReading(
                ReportDescriptor.parse(HexFormat.of().parseHex(descriptor.replace(" ", ""))),
                new NamedReading.Controls() {
                    @Override
                    public void switched(Signal signal, boolean closed, long nanos) {
                        told.add(signal.keys() + (closed ? " closed" : " open"));
                    }

                    @Override
                    public void stands(Signal signal, double share) {
                        told.add(signal.keys() + " stands at " + share);
                    }

                    @Override
                    public void moved(Signal signal, double share, long nanos) {
                        told.add(signal.keys() + " moved to " + share);
                    }
                });
    }

    private void report(NamedReading reading, int... bytes) {
        for (int i = 0; i < bytes.length; i++) {
            reading.buffer().put(i, (byte) bytes[i]);
        }
        reading.received(bytes.length);
    }

    /** Usage page 0xFF00, usage 2 for eight bytes: one usage for all of them, so that they are bits. */
    @Test
    void takesAVendorsBytesForBitsEachOfThem() {
        NamedReading reading = reading("06 00 ff 09 01 a1 01 09 02 15 00 26 ff 00 75 08 95 08 81 02 c0");
        report(reading, 0, 1, 0, 0, 0, 0, 0, 0);
        report(reading, 0, 0, 0, 0, 0, 0, 0, 0x80);
        assertThat(told).containsExactly("byte: 1, bit: 0 closed", "byte: 7, bit: 7 closed", "byte: 1, bit: 0 open");
    }

    /** Buttons 1 to 8 of report 1 and a level, generic desktop Z, of report 2. */
    @Test
    void namesButtonsAndLevelsOfNumberedReports() {
        NamedReading reading = reading("05 01 09 04 a1 01 85 01 05 09 19 01 29 08 15 00 25 01 75 01 95 08 81 02"
                + " 85 02 05 01 09 32 26 ff 00 75 08 95 01 81 02 c0");
        report(reading, 1, 0x04);
        report(reading, 2, 0);
        report(reading, 2, 255);
        report(reading, 1, 0);
        assertThat(told)
                .containsExactly(
                        "usage: \"button 3\" closed",
                        "usage: \"desktop 0x32\" stands at 0.0",
                        "usage: \"desktop 0x32\" moved to 1.0",
                        "usage: \"button 3\" open");
    }

    /** A keyboard's array of two keys; A and B are usages 4 and 5 of the keyboard page (HID Usage Tables, section 10). */
    @Test
    void namesTheKeysOfAnArray() {
        NamedReading reading = reading("05 01 09 06 a1 01 05 07 19 00 29 65 15 00 25 65 75 08 95 02 81 00 c0");
        report(reading, 4, 0);
        report(reading, 4, 5);
        report(reading, 0, 0);
        assertThat(told)
                .containsExactly(
                        "usage: \"keyboard 0x04\" closed",
                        "usage: \"keyboard 0x05\" closed",
                        "usage: \"keyboard 0x04\" open",
                        "usage: \"keyboard 0x05\" open");
    }
}
