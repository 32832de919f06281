package instep.input.hid;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.tuple;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Descriptors of the USB HID specification 1.11 and what it says of them. The specification's own text was not at hand: its bytes are here from memory, and held
 * against what others print of it, each named beside its check. The lengths that appendix E prints (63 and 50 bytes) agree.
 */
class ReportDescriptorTest {
    /** Appendix B.1 and E.6: boot keyboard. */
    private static final byte[] KEYBOARD = bytes("05 01 09 06 A1 01 05 07 19 E0 29 E7 15 00 25 01 75 01 95 08 81 02"
            + "95 01 75 08 81 01 95 05 75 01 05 08 19 01 29 05 91 02 95 01 75 03 91 01"
            + "95 06 75 08 15 00 25 65 05 07 19 00 29 65 81 00 C0");
    /** Appendix B.2 and E.10: boot mouse. */
    private static final byte[] MOUSE = bytes("05 01 09 02 A1 01 09 01 A1 00 05 09 19 01 29 03 15 00 25 01 95 03 75 01"
            + "81 02 95 01 75 05 81 01 05 01 09 30 09 31 15 81 25 7F 75 08 95 02 81 06 C0 C0");
    /** Appendix D.1: a joystick with throttle, stick, hat and four buttons; the two halves share bounds by push and pop. */
    private static final byte[] JOYSTICK = bytes("05 01 15 00 09 04 A1 01 05 02 09 BB 15 81 25 7F 75 08 95 01 81 02"
            + "05 01 09 01 A1 00 09 30 09 31 95 02 81 02 C0 09 39 15 00 25 03 35 00 46 0E 01"
            + "65 14 75 04 95 01 81 42 05 09 19 01 29 04 15 00 25 01 75 01 95 04 55 00 65 00 81 02 C0");

    /** The descriptor of the keyboard is 3Fh bytes long: E.4, wDescriptorLength. */
    @Test
    void readsTheKeyboardOfTheSpecification() {
        assertThat(KEYBOARD).hasSize(0x3f);
        ReportDescriptor keyboard = ReportDescriptor.parse(KEYBOARD);
        assertThat(keyboard.fault()).isEmpty();
        assertThat(keyboard.isNumbered()).isFalse();
        assertThat(keyboard.applications()).containsExactly(new Usage(1, 6));
        // B.1: byte 0 modifiers, byte 1 reserved, bytes 2 to 7 keys
        assertThat(keyboard.fields())
                .containsExactly(
                        new InputField(0, 0, 1, 8, false, false, List.of(new UsageRange(7, 0xe0, 0xe7)), 0, 1),
                        new InputField(0, 16, 8, 6, true, false, List.of(new UsageRange(7, 0, 0x65)), 0, 0x65));
    }

    /** 32h bytes: E.8, wDescriptorLength. */
    @Test
    void readsTheMouseOfTheSpecification() {
        assertThat(MOUSE).hasSize(0x32);
        ReportDescriptor mouse = ReportDescriptor.parse(MOUSE);
        assertThat(mouse.fault()).isEmpty();
        assertThat(mouse.applications()).containsExactly(new Usage(1, 2));
        // B.2: byte 0 buttons 1 to 3, bytes 1 and 2 displacement in X and Y, -127 to 127
        assertThat(mouse.fields())
                .containsExactly(
                        new InputField(0, 0, 1, 3, false, false, List.of(new UsageRange(9, 1, 3)), 0, 1),
                        new InputField(
                                0,
                                8,
                                8,
                                2,
                                false,
                                true,
                                List.of(new UsageRange(1, 0x30, 0x30), new UsageRange(1, 0x31, 0x31)),
                                -127,
                                127));
    }

    @Test
    void readsTheJoystickOfTheSpecification() {
        ReportDescriptor joystick = ReportDescriptor.parse(JOYSTICK);
        assertThat(joystick.fault()).isEmpty();
        assertThat(joystick.applications()).containsExactly(new Usage(1, 4));
        // throttle in byte 0, X and Y in bytes 1 and 2, hat in the low half of byte 3 and four buttons in its high half
        assertThat(joystick.fields())
                .extracting(
                        InputField::bit, InputField::size, InputField::count, InputField::minimum, InputField::maximum)
                .containsExactly(
                        tuple(0, 8, 1, -127L, 127L),
                        tuple(8, 8, 2, -127L, 127L),
                        tuple(24, 4, 1, 0L, 3L),
                        tuple(28, 1, 4, 0L, 1L));
        assertThat(joystick.fields().get(0).usages()).containsExactly(new UsageRange(2, 0xbb, 0xbb));
        assertThat(joystick.fields().get(2).place(new Usage(1, 0x39))).hasValue(0);
        assertThat(joystick.fields().get(3).place(new Usage(9, 4))).hasValue(3);
        assertThat(joystick.fields().get(3).place(new Usage(9, 5))).isEmpty();
    }

    // usbd-human-interface-device (github.com/dlkj, MIT), src/device/keyboard/descriptor.rs and
    // src/device/mouse/descriptor.rs, which name as their
    // source "hid1_11.pdf, Appendix B.1, E.6" and "B.2, E.10": the items of the appendix, in the order and with the
    // bounds in which they stand there
    @Test
    void readsTheBootDescriptorsAsAnOpenProjectQuotesThemFromTheSpecification() {
        ReportDescriptor keyboard =
                parse("05 01 09 06 A1 01 75 01 95 08 05 07 19 E0 29 E7 15 00 25 01 81 02 95 01 75 08 81 01"
                        + "95 05 75 01 05 08 19 01 29 05 91 02 95 01 75 03 91 01"
                        + "95 06 75 08 15 00 26 FF 00 05 07 19 00 2A FF 00 81 00 C0");
        ReportDescriptor mouse = parse("05 01 09 02 A1 01 09 01 A1 00 95 03 75 01 05 09 19 01 29 03 15 00 25 01 81 02"
                + "95 01 75 05 81 01 75 08 95 02 05 01 09 30 09 31 15 81 25 7F 81 06 C0 C0");
        assertThat(keyboard.fault()).isEmpty();
        assertThat(keyboard.fields())
                .containsExactly(
                        ReportDescriptor.parse(KEYBOARD).fields().get(0),
                        new InputField(0, 16, 8, 6, true, false, List.of(new UsageRange(7, 0, 0xff)), 0, 0xff));
        assertThat(mouse.fault()).isEmpty();
        assertThat(mouse.fields())
                .containsExactlyElementsOf(ReportDescriptor.parse(MOUSE).fields());
    }

    // The example of usb.org's "Device Class Definition for Physical Interface Devices (PID) 1.0" as
    // forums.vigem.org/topic/294 prints it: up to its page of
    // forces it is the joystick of HID 1.11, appendix D.1, with a report number, and with a hat that has no null state
    @Test
    void readsTheJoystickAsAnotherDocumentOfTheSameSourceGoesOnFromIt() {
        ReportDescriptor forces = parse("05 01 15 00 09 04 A1 01 85 01 05 02 09 BB 15 81 25 7F 75 08 95 01 81 02"
                + "05 01 09 01 A1 00 09 30 09 31 95 02 81 02 C0 09 39 15 00 25 03 35 00 46 0E 01 66 14 00 75 04 95 01 81 02"
                + "45 00 66 00 00 05 09 19 01 29 04 25 01 95 04 75 01 35 00 81 02 C0");
        assertThat(forces.fault()).isEmpty();
        assertThat(forces.applications()).containsExactly(new Usage(1, 4));
        List<InputField> joystick = ReportDescriptor.parse(JOYSTICK).fields();
        assertThat(forces.fields()).hasSameSizeAs(joystick);
        for (int i = 0; i < joystick.size(); i++) {
            InputField one = forces.fields().get(i);
            InputField other = joystick.get(i);
            assertThat(one.bit()).isEqualTo(other.bit() + 8); // behind the report's number
            assertThat(List.of(one.size(), one.count(), one.minimum(), one.maximum(), one.usages()))
                    .isEqualTo(List.of(other.size(), other.count(), other.minimum(), other.maximum(), other.usages()));
        }
    }

    // TinyUSB, src/class/hid/hid_device.h (MIT licence), the templates for keyboard, consumer control and system
    // control with report numbers 1, 2, 3, as a
    // device with all of them has them; what is expected is what the remarks in the templates say, the bytes are
    // written after their items
    @Test
    void readsTheTemplatesOfAnOpenDeviceStack() {
        ReportDescriptor device = parse(
                "05 01 09 06 A1 01 85 01 05 07 19 E0 29 E7 15 00 25 01 95 08 75 01 81 02 95 01 75 08 81 01"
                        + "05 07 19 00 2A FF 00 15 00 26 FF 00 95 06 75 08 81 00 05 08 19 01 29 05 95 05 75 01 91 02 95 01 75 03 91 01 C0"
                        + "05 0C 09 01 A1 01 85 02 15 00 26 FF 03 19 00 2A FF 03 95 01 75 10 81 00 C0"
                        + "05 01 09 80 A1 01 85 03 15 01 25 03 95 01 75 02 09 82 09 81 09 83 81 00 95 01 75 06 81 01 C0");
        assertThat(device.fault()).isEmpty();
        assertThat(device.isNumbered()).isTrue();
        assertThat(device.applications()).containsExactly(new Usage(1, 6), new Usage(12, 1), new Usage(1, 0x80));
        assertThat(device.fields())
                .containsExactly(
                        // "8 bits Modifier Keys", behind the number of the report; "8 bit reserved"; "6-byte Keycodes"
                        new InputField(1, 8, 1, 8, false, false, List.of(new UsageRange(7, 0xe0, 0xe7)), 0, 1),
                        new InputField(1, 24, 8, 6, true, false, List.of(new UsageRange(7, 0, 0xff)), 0, 255),
                        // one consumer usage up to 03FFh, in 16 bits
                        new InputField(2, 8, 16, 1, true, false, List.of(new UsageRange(12, 0, 0x3ff)), 0, 0x3ff),
                        // "2 bit system power control": 1 sleep, 2 power down, 3 wake up; "6 bit padding"
                        new InputField(
                                3,
                                8,
                                2,
                                1,
                                true,
                                false,
                                List.of(
                                        new UsageRange(1, 0x82, 0x82),
                                        new UsageRange(1, 0x81, 0x81),
                                        new UsageRange(1, 0x83, 0x83)),
                                1,
                                3));
        assertThat(device.fields().get(2).place(new Usage(12, 0xe9))).hasValue(0xe9);
        assertThat(device.fields().get(3).place(new Usage(1, 0x83))).hasValue(2);
    }

    // 6.2.2.7, Report ID: a one-byte prefix to each report; each report has its own bits
    @Test
    void countsTheBitsOfEachReportBehindItsNumber() {
        ReportDescriptor two = parse("06 00 FF 09 01 A1 01 85 01 09 02 15 00 25 01 75 01 95 04 81 02 75 04 95 01 81 03"
                + "09 03 75 08 95 01 26 FF 00 81 02 85 02 09 04 75 10 27 FF FF 00 00 81 02 C0");
        assertThat(two.fault()).isEmpty();
        assertThat(two.isNumbered()).isTrue();
        assertThat(two.fields())
                .containsExactly(
                        new InputField(1, 8, 1, 4, false, false, List.of(new UsageRange(0xff00, 2, 2)), 0, 1),
                        new InputField(1, 16, 8, 1, false, false, List.of(new UsageRange(0xff00, 3, 3)), 0, 255),
                        new InputField(2, 8, 16, 1, false, false, List.of(new UsageRange(0xff00, 4, 4)), 0, 65535));
    }

    // 6.2.2.7: signed only if a bound is negative; 6.2.2.8: four bytes of a usage hold its page
    @ParameterizedTest
    @CsvSource({"15 00 25 FF, 0, 255", "15 81 25 7F, -127, 127", "14 25 01, 0, 1", "16 00 80 26 FF 7F, -32768, 32767"})
    void readsBoundsAsSignedIfTheMinimumIs(String items, long minimum, long maximum) {
        InputField field =
                parse(items + " 0B 02 00 0C 00 75 08 95 01 81 02").fields().get(0);
        assertThat(field.minimum()).isEqualTo(minimum);
        assertThat(field.maximum()).isEqualTo(maximum);
        assertThat(field.usages()).containsExactly(new UsageRange(0x0c, 2, 2));
    }

    // 6.2.2.7: push and pop carry all global items
    @Test
    void takesBackWhatWasPushed() {
        assertThat(parse("05 09 75 01 95 02 25 01 A4 05 01 75 08 B4 19 01 29 02 81 02")
                        .fields())
                .containsExactly(new InputField(0, 0, 1, 2, false, false, List.of(new UsageRange(9, 1, 2)), 0, 1));
    }

    // 6.2.2.8, Delimiter: usages for the same control, the preferred one first
    @Test
    void takesThePreferredOfSeveralUsages() {
        assertThat(parse("05 0C A9 01 09 E9 09 EA A9 00 09 E2 75 01 95 02 25 01 81 02")
                        .fields()
                        .get(0)
                        .usages())
                .containsExactly(new UsageRange(0x0c, 0xe9, 0xe9), new UsageRange(0x0c, 0xe2, 0xe2));
    }

    // 6.2.2.3, long items
    @Test
    void passesOverLongItems() {
        assertThat(parse("FE 03 F0 81 02 81 05 09 09 01 75 01 95 01 81 02").fields())
                .hasSize(1);
    }

    @Test
    void nestsAsDeepAsItIsTold() {
        String nested = "A1 01 ".repeat(100) + "05 09 09 01 25 01 75 01 95 01 81 02 " + "C0 ".repeat(100);
        ReportDescriptor deep = parse(nested);
        assertThat(deep.fault()).isEmpty();
        assertThat(deep.fields()).hasSize(1);
        assertThat(parse("A1 01 ".repeat(2048)).fault()).isEqualTo("byte 4096: it ends within a collection");
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            05                      | byte 0: it is cut off in an item
            05 01 27 00 00          | byte 2: it is cut off in an item
            FE                      | byte 0: it is cut off in an item
            FE 20 00 00             | byte 0: it is cut off in an item
            A1 01                   | byte 2: it ends within a collection
            C0                      | byte 0: a collection ends that was not begun
            B4                      | byte 0: a pop of what was not pushed
            85 00                   | byte 0: the number 0 for a report; it is from 1 to 255
            86 00 01                | byte 0: the number 256 for a report; it is from 1 to 255
            76 00 10                | byte 0: controls of 4096 bits; at most 256
            29 03                   | byte 0: a range of usages without a beginning
            19 04 29 03             | byte 2: a range of usages without a beginning
            A9 00                   | byte 0: delimiters that do not come in pairs
            A9 01 A9 01             | byte 2: delimiters that do not come in pairs
            75 08 97 FF FF FF FF 81 02 | byte 7: report 0 would be longer than 4096 bytes
            """)
    void saysWhatIsWrongAndWhere(String items, String fault) {
        ReportDescriptor wrong = parse(items);
        assertThat(wrong.fault()).isEqualTo(fault);
        assertThat(wrong.fields()).isEmpty();
    }

    @Test
    void refusesMoreThanTheKernelTakes() {
        assertThat(ReportDescriptor.parse(new byte[4097]).fault()).isEqualTo("byte 0: longer than 4096 bytes");
        assertThat(ReportDescriptor.parse(new byte[0]).fault()).isEmpty();
    }

    @Test
    void aControlOfNoBitsIsNone() {
        assertThat(parse("05 09 09 01 75 00 95 01 81 02").fields()).isEmpty();
    }

    @Property(tries = 2_000)
    void anyBytesGiveFieldsWithinAReportOrAFault(@ForAll @Size(max = 300) byte[] bytes) {
        holdTogether(ReportDescriptor.parse(bytes));
    }

    @Property(tries = 2_000)
    void aBrokenDescriptorGivesFieldsWithinAReportOrAFault(
            @ForAll @IntRange(min = 0, max = 2) int which,
            @ForAll @Size(max = 8) List<@IntRange(min = 0, max = 0xffff) Integer> changes,
            @ForAll @IntRange(min = 0, max = 100) int end) {
        byte[] bytes = List.of(KEYBOARD, MOUSE, JOYSTICK).get(which).clone();
        for (int change : changes) {
            bytes[(change >> Byte.SIZE) % bytes.length] = (byte) change;
        }
        holdTogether(ReportDescriptor.parse(Arrays.copyOf(bytes, Math.min(end, bytes.length))));
        holdTogether(ReportDescriptor.parse(bytes));
    }

    private static void holdTogether(ReportDescriptor descriptor) {
        if (!descriptor.fault().isEmpty()) {
            assertThat(descriptor.fields()).isEmpty();
            assertThat(descriptor.fault()).startsWith("byte ");
            return;
        }
        List<String> places = new ArrayList<>();
        for (InputField field : descriptor.fields()) {
            assertThat(field.bit() + (long) field.size() * field.count()).isBetween(1L, 4096L * 8 + 8);
            assertThat(field.usages()).isNotEmpty();
            assertThat(places).doesNotContain(field.report() + "/" + field.bit());
            places.add(field.report() + "/" + field.bit());
        }
    }

    private static ReportDescriptor parse(String hex) {
        return ReportDescriptor.parse(bytes(hex));
    }

    private static byte[] bytes(String hex) {
        return HexFormat.of().parseHex(hex.replace(" ", ""));
    }
}
