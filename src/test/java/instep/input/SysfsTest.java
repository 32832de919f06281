package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class SysfsTest {
    @TempDir
    Path root;

    private FakeHost host;

    @BeforeEach
    void makeHost() throws Exception {
        host = new FakeHost(root);
    }

    @Test
    void readsWhatTheKernelSaysOfAnEventNode() throws Exception {
        host.event("event3", "Clay Works Pedal", "1209:2303", "usb-0000:00:14.0-2/input0");
        assertThat(host.sysfs().events())
                .containsExactly(new DeviceNode(
                        root.resolve("dev/input/event3"),
                        "Clay Works Pedal",
                        "1209:2303",
                        "usb-0000:00:14.0-2/input0",
                        "SN-event3",
                        new Capabilities(FakeHost.KEYS, FakeHost.AXES, FakeHost.WHEELS)));
    }

    @Test
    void readsWhatTheKernelSaysOfARawNode() throws Exception {
        host.raw("hidraw10", "Clay Works Box", "1209:B0B0", "usb-0000:00:14.0-3/input1");
        assertThat(host.sysfs().raws())
                .containsExactly(new DeviceNode(
                        root.resolve("dev/hidraw10"),
                        "Clay Works Box",
                        "1209:b0b0",
                        "usb-0000:00:14.0-3/input1",
                        "SN-hidraw10",
                        Capabilities.UNKNOWN));
    }

    @Test
    void hasNoNodesWhereThereIsNoSuchClass() {
        Sysfs nothing = new Sysfs(root.resolve("nowhere"), root);
        assertThat(nothing.events()).isEmpty();
        assertThat(nothing.raws()).isEmpty();
        assertThat(nothing.event("event0")).isEmpty();
    }

    @Test
    void leavesOutOtherInputNodes() throws Exception {
        Files.createDirectories(root.resolve("sys/class/input/mouse0/device"));
        Files.createDirectories(root.resolve("sys/class/input/input5"));
        assertThat(host.sysfs().events()).isEmpty();
    }

    @Test
    void knowsWhetherARawDeviceHasAnEventNode() throws Exception {
        DeviceNode raw = host.raw("hidraw0", "Clay Works Pedal", "1209:2303", "");
        assertThat(host.sysfs().alsoSendsEvents(raw)).isFalse();
        Files.createDirectories(root.resolve("sys/class/hidraw/hidraw0/device/input/input7/event3"));
        assertThat(host.sysfs().alsoSendsEvents(raw)).isTrue();
    }

    // capabilities/key as drivers/input/input.c prints it: words of 64 bits, the highest first
    @ParameterizedTest
    @CsvSource({"30, true", "46, true", "48, true", "31, false", "0x120, false", "767, false"})
    void readsTheKeysOfADevice(String code, boolean has) {
        assertThat(new Capabilities("10000 0 1400040000000", "0", "0").hasKey(Integer.decode(code)))
                .isEqualTo(has);
        assertThat(new Capabilities("10000 0 0 0 0 0", "0", "0").hasKey(5 * 64 + 16))
                .isTrue();
    }

    // The same form: ABS_X 0, ABS_Y 1, ABS_HAT0X 16, ABS_HAT0Y 17; REL_WHEEL 8
    @Test
    void readsTheAxesAndWheelsOfADevice() {
        Capabilities box = new Capabilities("0", "30003", "100");
        assertThat(IntStream.range(0, 64).filter(box::hasAxis)).containsExactly(0, 1, 16, 17);
        assertThat(IntStream.range(0, 16).filter(box::hasWheel)).containsExactly(8);
        assertThat(box.couldBePedal()).isTrue();
        assertThat(new Capabilities("0", "0", "0 0").couldBePedal()).isFalse();
        assertThat(Capabilities.UNKNOWN.couldBePedal()).isFalse();
    }

    @ParameterizedTest
    @ValueSource(strings = {"*", "Clay Works Pedal", "Clay*", "*Pedal", "*Works*", "C*y*W*l", "Clay Works Pedal*"})
    void matchesANameWithStars(String glob) {
        assertThat(match(null, glob, null, null, null).matches(pedal())).isTrue();
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "Clay", "clay*", "*Works", "Clay.Works.Pedal", "[C]*", "*\\E*"})
    void doesNotMatchANameThatDiffers(String glob) {
        assertThat(match(null, glob, null, null, null).matches(pedal())).isFalse();
    }

    @Test
    void matchesWhatAllOfItSays() {
        assertThat(match("1209:2303", "*Pedal", "usb-2/input0", "SN1", null).matches(pedal()))
                .isTrue();
        assertThat(match("1209:2304", "*Pedal", "usb-2/input0", "SN1", null).matches(pedal()))
                .isFalse();
        assertThat(match("1209:2303", "*Pedal", "usb-3/input0", "SN1", null).matches(pedal()))
                .isFalse();
        assertThat(match("1209:2303", "*Pedal", "usb-2/input0", "SN2", null).matches(pedal()))
                .isFalse();
    }

    @Test
    void followsALinkToTheNode() throws Exception {
        DeviceNode node = host.event("event3", "Clay Works Pedal", "1209:2303", "usb-2/input0");
        Path link = root.resolve("dev/pedal");
        DeviceMatch byLink = match(null, null, null, null, link.toString());
        assertThat(byLink.matches(node)).isFalse();
        Files.createSymbolicLink(link, Path.of("input/event3"));
        assertThat(byLink.matches(node)).isTrue();
        assertThat(byLink.matches(host.event("event4", "Clay Works Pedal", "1209:2303", "")))
                .isFalse();
    }

    @Test
    void saysInWordsWhatIsMeant() {
        assertThat(match("1209:2303", "*Pedal", null, null, null).words()).isEqualTo("usb 1209:2303, name *Pedal");
        assertThat(new DeviceMatch("1209:2303", null, null, null, null, 2).words())
                .isEqualTo("usb 1209:2303, which 2");
    }

    private static DeviceNode pedal() {
        return new DeviceNode(
                Path.of("/dev/input/event3"),
                "Clay Works Pedal",
                "1209:2303",
                "usb-2/input0",
                "SN1",
                Capabilities.UNKNOWN);
    }

    private static DeviceMatch match(
            @Nullable String usb,
            @Nullable String name,
            @Nullable String phys,
            @Nullable String serial,
            @Nullable String path) {
        return new DeviceMatch(usb, name, phys, serial, path, 1);
    }
}
