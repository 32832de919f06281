package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gesture.Threshold;
import instep.input.PedalSettings.MidiContact;
import instep.input.PedalSettings.MidiSignal;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class OutputReportsTest {
    private static final int KEY_A = 30;
    /** In none of the devices here. */
    private static final int KEY_F24 = 194;

    @TempDir
    private Path root;

    private FakeHost host;

    @BeforeEach
    void makeHost() throws IOException {
        host = new FakeHost(root);
    }

    private static DeviceMatch usb(String numbers, int which) {
        return new DeviceMatch(numbers, null, null, null, null, which);
    }

    private static PedalSettings keys(int code, int which) {
        return new PedalSettings.Events(
                "floor", usb("1209:2303", which), true, List.of(new PedalSettings.Key(0, code)), List.of(), List.of());
    }

    /** Plugs in a pedal with keys whose HID device has a raw node, too, in the place where the kernel shows it. */
    private void pedal(String event, String phys, String raw) throws IOException {
        host.event(event, "Clay Works Pedal", "1209:2303", phys);
        Files.createDirectories(root.resolve("sys/class/input")
                .resolve(event)
                .resolve("device/device/hidraw")
                .resolve(raw));
    }

    @Test
    void findsTheRawNodeBehindTheKeysOfThePedalThatIsMeant() throws IOException {
        pedal("event4", "usb-2/input0", "hidraw7");
        pedal("event5", "usb-1/input0", "hidraw9");
        assertThat(OutputReports.node(keys(KEY_A, 1), host.sysfs()))
                .contains(host.dev().resolve("hidraw9"));
        assertThat(OutputReports.node(keys(KEY_A, 2), host.sysfs()))
                .contains(host.dev().resolve("hidraw7"));
        assertThat(OutputReports.node(keys(KEY_A, 3), host.sysfs())).isEmpty();
        assertThat(OutputReports.node(keys(KEY_F24, 1), host.sysfs())).isEmpty();
    }

    @Test
    void findsTheNodeOfAPedalThatIsReadByItsReports() throws IOException {
        host.raw("hidraw3", "Clay Works Box", "1209:b0b0", "usb-3/input0");
        PedalSettings box = new PedalSettings.Reports(
                "box", usb("1209:b0b0", 1), List.of(PedalSettings.ReportBits.ofBit(0, 0, 0)), List.of());
        assertThat(OutputReports.node(box, host.sysfs())).contains(host.dev().resolve("hidraw3"));
    }

    /** Of the keyboard of HID 1.11, appendix E.6, the outermost collection; and one of a page of the maker's own. */
    @Test
    void findsTheInterfaceOfADeviceThatHasTheUsagePage() throws IOException {
        interfaceOf("hidraw3", "usb-3/input0", "05 01 09 06 A1 01 C0");
        interfaceOf("hidraw4", "usb-3/input1", "06 00 FF 09 01 A1 01 C0");
        assertThat(OutputReports.node(box(0xff00), host.sysfs()))
                .contains(host.dev().resolve("hidraw4"));
        assertThat(OutputReports.node(box(PedalSettings.ANY_PAGE), host.sysfs()))
                .contains(host.dev().resolve("hidraw3"));
        assertThat(OutputReports.node(box(0x0c), host.sysfs())).isEmpty();
    }

    private void interfaceOf(String raw, String phys, String descriptor) throws IOException {
        host.raw(raw, "Clay Works Box", "1209:b0b0", phys);
        Files.write(
                root.resolve("sys/class/hidraw").resolve(raw).resolve("device/report_descriptor"),
                HexFormat.of().parseHex(descriptor.replace(" ", "")));
    }

    private static PedalSettings box(int page) {
        return new PedalSettings.Reports(
                "box", usb("1209:b0b0", 1), page, List.of(PedalSettings.ReportBits.ofBit(0, 0, 0)), List.of());
    }

    @Test
    void knowsWhatHasNoReports() throws IOException {
        host.event("event4", "Clay Works Pedal", "1209:2303", "isa0060/serio0/input0");
        assertThat(OutputReports.node(keys(KEY_A, 1), host.sysfs())).isEmpty();
        PedalSettings midi = new PedalSettings.Midi(
                "board",
                usb("1209:b0a2", 1),
                List.of(new MidiContact(0, MidiSignal.NOTE, 1, 60, Threshold.DEFAULT, null)));
        assertThat(OutputReports.canBeSentTo(midi)).isFalse();
        assertThat(OutputReports.node(midi, host.sysfs())).isEmpty();
        assertThat(OutputReports.canBeSentTo(keys(KEY_A, 1))).isTrue();
    }
}
