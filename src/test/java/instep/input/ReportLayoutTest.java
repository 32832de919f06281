package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gesture.Moves;
import instep.gesture.Scale;
import instep.gesture.Threshold;
import instep.input.PedalSettings.ReportBits;
import instep.input.PedalSettings.ReportUsage;
import instep.input.hid.Usage;
import java.lang.management.ManagementFactory;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;

/** From descriptors and reports to edges and moves. */
class ReportLayoutTest {
    /** The boot keyboard of HID 1.11, appendix B.1: modifiers, reserved, six keys. */
    private static final String KEYBOARD = "05 01 09 06 A1 01 05 07 19 E0 29 E7 15 00 25 01 75 01 95 08 81 02"
            + "95 01 75 08 81 01 95 06 75 08 15 00 25 65 19 00 29 65 81 00 C0";
    /** Report 1: buttons 1 to 4 and padding; report 2: X of 10 bits from -512, and a byte of the maker's own. */
    private static final String BOX = "05 01 09 04 A1 01 85 01 05 09 19 01 29 04 15 00 25 01 75 01 95 04 81 02"
            + "95 04 81 03 85 02 05 01 09 30 16 00 FE 26 FF 01 75 0A 95 01 81 02 75 06 81 03"
            + "06 00 FF 09 01 15 00 26 FF 00 75 08 81 02 C0";

    private final List<String> told = new ArrayList<>();
    private final InputListener listener = new InputListener() {
        @Override
        public void edge(int contact, boolean closed, boolean lost, long nanos) {
            told.add(contact + (closed ? " closed" : lost ? " lost" : " open"));
        }

        @Override
        public void moved(int contact, double share, long nanos) {
            told.add(contact + " at " + share);
        }

        @Override
        public void device(int pedal, DeviceState state, String detail, long nanos) {
            throw new AssertionError("a decoder knows no devices");
        }
    };

    @Test
    void aButtonIsTheBitThatTheDescriptorSays() {
        send(BOX, List.of(usage(0, "button 1"), usage(1, "button 4")), "01 01", "01 09", "02 ff 01 ff", "01 08", "01");
        assertThat(told).containsExactly("0 closed", "1 closed", "0 open");
    }

    @Test
    void aKeyOfAnArrayIsClosedWhileOneOfTheElementsNamesIt() {
        List<ReportUsage> keys =
                List.of(usage(0, "keyboard 0x04"), usage(1, "keyboard 0x05"), usage(2, "keyboard 0xe1"));
        send(
                KEYBOARD,
                keys,
                "00 00 04 00 00 00 00 00",
                "00 00 05 04 00 00 00 00",
                "02 00 00 00 00 00 00 05",
                "00 00 00 00 00 00 00 00");
        assertThat(told).containsExactly("0 closed", "1 closed", "0 open", "2 closed", "1 open", "2 open");
    }

    // HID 1.11, appendix C: ErrorRollOver in all fields when more keys are down than can be told
    @Test
    void aKeyboardThatHasTooManyKeysDownSaysNothingOfThem() {
        send(
                KEYBOARD,
                List.of(usage(0, "keyboard 0x04")),
                "00 00 04 00 00 00 00 00",
                "00 00 01 01 01 01 01 01",
                "00 00 00 00 00 00 00 00");
        assertThat(told).containsExactly("0 closed", "0 open");
    }

    @Test
    void anAxisIsClosedBeyondItsShareAndTellsItsPositions() {
        ReportUsage swell = new ReportUsage(
                0, PedalSettings.ANY_REPORT, new Usage(1, 0x30), Threshold.DEFAULT, new Moves(0, Scale.PERCENT, 1));
        // 10 bits, the lowest first: 0x200 is -512, 0x1ff is 511, 0 lies just above the middle
        send(BOX, List.of(swell), "02 00 02 00", "02 ff 01 00", "02 ff 01 ff", "02 00 02 00");
        assertThat(told).containsExactly("0 closed", "0 at 1.0", "0 open", "0 at 0.0");
    }

    @Test
    void bitsOfAByteAreComparedInTheReportOfThatNumber() {
        List<ReportContact> contacts = new ReportLayout(
                        new PedalSettings.Reports(
                                "box",
                                new DeviceMatch(null, null, null, null, null, 1),
                                List.of(
                                        new ReportBits(0, 1, 1, 0x0f, 0x05),
                                        new ReportBits(1, PedalSettings.ANY_REPORT, 1, 0x01, 0x00),
                                        ReportBits.ofBit(2, 1, 7)),
                                List.of()),
                        new byte[0])
                .contacts();
        play(new ReportDecoder(contacts, listener), "01 05", "01 f5", "01 01", "02 05", "01 00", "");
        assertThat(told).containsExactly("0 closed", "2 closed", "0 open", "2 open", "1 closed");
    }

    // HID 1.11, 5.10: a value out of bounds says nothing
    @Test
    void aValueOutOfBoundsChangesNothing() {
        String hat = "05 01 09 39 15 01 25 08 75 08 95 01 81 42";
        send(hat, List.of(usage(0, "desktop 0x39")), "08", "0f", "00", "01");
        assertThat(told).containsExactly("0 closed", "0 open");
    }

    @Test
    void saysWhichUsagesThereAre() {
        assertThat(lacking(BOX, usage(0, "button 5")))
                .isEqualTo("button 5 in its reports; there is button 1 to 4, desktop 0x30, 0xff00:0x01");
        assertThat(lacking(BOX, new ReportUsage(0, 2, new Usage(9, 1), Threshold.DEFAULT, null)))
                .startsWith("button 1 of report 2 in its reports; ");
        assertThat(lacking("A1", usage(0, "button 1")))
                .isEqualTo("button 1 in its reports; its report descriptor cannot be read (byte 0: it is cut off in an"
                        + " item); name byte and bit instead");
        assertThat(lacking("", usage(0, "button 1"))).isEqualTo("button 1 in its reports; its reports name no usages");
        assertThat(layout(BOX, List.of(usage(0, "button 4"))).lacking()).isEmpty();
    }

    @Property(tries = 500)
    void whateverDescriptorAndReportAreNothingSticks(
            @ForAll @Size(max = 40) byte[] garbage, @ForAll @Size(max = 20) List<@Size(max = 12) byte[]> reports) {
        told.clear();
        byte[] box = HexFormat.of().parseHex(BOX.replace(" ", ""));
        ByteBuffer descriptor =
                ByteBuffer.allocate(box.length + garbage.length).put(box).put(garbage);
        ReportLayout layout = new ReportLayout(
                reports(List.of(usage(0, "button 1"), usage(1, "desktop 0x30"), usage(2, "0xFF00:0x01"))),
                garbage.length % 2 == 0 ? box : descriptor.array());
        ReportDecoder decoder = new ReportDecoder(layout.contacts(), listener);
        ByteBuffer buffer = ByteBuffer.allocateDirect(ReportDecoder.LONGEST);
        for (byte[] report : reports) {
            buffer.put(0, report);
            decoder.report(buffer, report.length, 1);
        }
        decoder.vanished(2);
        long closings = told.stream().filter(line -> line.endsWith("closed")).count();
        assertThat(told).hasSize((int) closings * 2);
    }

    @Test
    void allocatesNothingPerReport() {
        com.sun.management.ThreadMXBean threads = (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
        List<ReportUsage> usages = List.of(usage(0, "keyboard 0x04"), usage(1, "keyboard 0xe1"));
        long[] edges = {0};
        ReportDecoder decoder = new ReportDecoder(layout(KEYBOARD, usages).contacts(), new InputListener() {
            @Override
            public void edge(int contact, boolean closed, boolean lost, long nanos) {
                edges[0]++;
            }

            @Override
            public void device(int pedal, DeviceState state, String detail, long nanos) {
                throw new AssertionError("a decoder knows no devices");
            }
        });
        often(decoder, 20_000);
        edges[0] = 0;
        long before = threads.getCurrentThreadAllocatedBytes();
        often(decoder, 100_000);
        assertThat(threads.getCurrentThreadAllocatedBytes() - before).isLessThan(10_000);
        assertThat(edges[0]).isEqualTo(400_000);
    }

    private static void often(ReportDecoder decoder, int times) {
        ByteBuffer down = ByteBuffer.allocateDirect(8).put(0, new byte[] {2, 0, 9, 4, 0, 0, 0, 0});
        ByteBuffer up = ByteBuffer.allocateDirect(8);
        for (int i = 0; i < times; i++) {
            decoder.report(down, 8, i);
            decoder.report(up, 8, i);
        }
    }

    /** HID Usage Tables, table 1: generic desktop is page 0x01, consumer 0x0C; of page 0xFF00 is what a maker says. */
    @Test
    void anInterfaceIsToldFromOthersByThePageOfItsOutermostCollection() {
        assertThat(ofPage(0x01, KEYBOARD)).isEmpty();
        assertThat(ofPage(0xff00, KEYBOARD)).contains("collection of the usage page 0xFF00; there is desktop 0x06");
        assertThat(ofPage(0xff00, "06 00 FF 09 01 A1 01 15 00 26 FF 00 75 08 95 08 09 01 81 02 C0"))
                .isEmpty();
        assertThat(ofPage(0xff00, ""))
                .contains("collection of the usage page 0xFF00; its report descriptor names none");
    }

    private static Optional<String> ofPage(int page, String descriptor) {
        PedalSettings.Reports box = new PedalSettings.Reports(
                "box",
                new DeviceMatch(null, null, null, null, null, 1),
                page,
                List.of(ReportBits.ofBit(0, 1, 0)),
                List.of());
        return new ReportLayout(box, HexFormat.of().parseHex(descriptor.replace(" ", ""))).lacking();
    }

    private static ReportUsage usage(int contact, String text) {
        return new ReportUsage(
                contact, PedalSettings.ANY_REPORT, Usage.parse(text).orElseThrow(), Threshold.DEFAULT, null);
    }

    private static PedalSettings.Reports reports(List<ReportUsage> usages) {
        return new PedalSettings.Reports("box", new DeviceMatch(null, null, null, null, null, 1), List.of(), usages);
    }

    private static ReportLayout layout(String descriptor, List<ReportUsage> usages) {
        return new ReportLayout(reports(usages), HexFormat.of().parseHex(descriptor.replace(" ", "")));
    }

    private static String lacking(String descriptor, ReportUsage usage) {
        return layout(descriptor, List.of(usage)).lacking().orElseThrow();
    }

    private void send(String descriptor, List<ReportUsage> usages, String... reports) {
        ReportLayout layout = layout(descriptor, usages);
        assertThat(layout.lacking()).isEmpty();
        play(new ReportDecoder(layout.contacts(), listener), reports);
    }

    private static void play(ReportDecoder decoder, String... reports) {
        ByteBuffer buffer = ByteBuffer.allocateDirect(ReportDecoder.LONGEST);
        for (String report : reports) {
            byte[] bytes = HexFormat.of().parseHex(report.replace(" ", ""));
            buffer.put(0, bytes);
            decoder.report(buffer, bytes.length, 1);
        }
    }
}
