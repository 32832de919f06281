package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gesture.Threshold;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;

class ReportDecoderTest {
    private final List<String> told = new ArrayList<>();
    private final ReportDecoder decoder =
            new ReportDecoder(List.of(bit(0, 0, 0), bit(1, 0, 7), bit(2, 2, 3)), new InputListener() {
                @Override
                public void edge(int contact, boolean closed, boolean lost, long nanos) {
                    told.add(contact + (closed ? " closed " : lost ? " lost " : " open ") + nanos);
                }

                @Override
                public void device(int pedal, DeviceState state, String detail, long nanos) {
                    throw new AssertionError("a decoder knows no devices");
                }
            });

    @Test
    void tellsTheBitsThatDiffer() {
        report("00 00 00", 1);
        report("01 00 00", 2);
        report("81 00 08", 3);
        report("80 ff 08", 4);
        assertThat(told).containsExactly("0 closed 2", "1 closed 3", "2 closed 3", "0 open 4");
    }

    @Test
    void takesABitOfTheFirstReportForAPress() {
        report("80 00 00", 1);
        assertThat(told).containsExactly("1 closed 1");
    }

    @Test
    void leavesABitUnchangedThatAShortReportDoesNotHave() {
        report("00 00 08", 1);
        report("00", 2);
        report("", 3);
        report("00 00 08", 4);
        assertThat(told).containsExactly("2 closed 1");
    }

    @Test
    void ignoresBytesThatNobodyAskedFor() {
        report("7e ff f7 ff ff ff ff ff", 1);
        assertThat(told).isEmpty();
    }

    @Test
    void opensWhatIsClosedWhenTheDeviceVanishes() {
        report("81 00 00", 1);
        told.clear();
        decoder.vanished(2);
        decoder.vanished(3);
        assertThat(told).containsExactly("0 lost 2", "1 lost 2");
    }

    private static ReportContact bit(int contact, int byteIndex, int bit) {
        return new ReportContact(
                contact,
                PedalSettings.ANY_REPORT,
                Control.bits(byteIndex, 1 << bit, 1 << bit),
                Threshold.DEFAULT,
                false);
    }

    private void report(String hex, long nanos) {
        byte[] bytes = HexFormat.of().parseHex(hex.replace(" ", ""));
        ByteBuffer buffer = ByteBuffer.allocateDirect(ReportDecoder.LONGEST);
        buffer.put(0, bytes);
        decoder.report(buffer, bytes.length, nanos);
    }
}
