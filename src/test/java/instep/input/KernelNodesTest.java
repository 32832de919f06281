package instep.input;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** That only the kernel's own nodes are taken for them; with real ones it is tried in the device lab. */
class KernelNodesTest {
    private final KernelNodes nodes = new KernelNodes();

    @TempDir
    Path root;

    private FakeHost host;

    @BeforeEach
    void makeHost() throws IOException {
        host = new FakeHost(root);
    }

    @Test
    void refusesAFifoForAnEventNode() throws Exception {
        DeviceNode fifo = host.event("event3", "Clay Works Pedal", "1209:2303", "");
        assertThatExceptionOfType(NodeException.class)
                .isThrownBy(() -> nodes.keys(fifo, false, new long[EvdevDecoder.WORDS]))
                .withMessageStartingWith(fifo.node() + " is not an input event device: ");
    }

    @Test
    void refusesAFifoForARawNode() throws Exception {
        DeviceNode fifo = host.raw("hidraw3", "Clay Works Box", "1209:b0b0", "");
        assertThatExceptionOfType(NodeException.class)
                .isThrownBy(() -> nodes.reports(fifo))
                .withMessageStartingWith(fifo.node() + " is not a raw HID device: ");
    }

    @Test
    void saysThatANodeIsGone() throws Exception {
        DeviceNode node = host.event("event3", "Clay Works Pedal", "1209:2303", "");
        Files.delete(node.node());
        assertThatExceptionOfType(NodeException.class)
                .isThrownBy(() -> nodes.keys(node, false, new long[EvdevDecoder.WORDS]))
                .withMessage(node.node() + " is gone")
                .matches(NodeException::isGone);
    }

    // errno: asm-generic/errno-base.h
    @Test
    void saysWhatElseKeepsANodeFromBeingOpened() {
        Path node = Path.of("/dev/input/event3");
        assertThat(NodeException.opening(node, 24))
                .hasMessage("cannot open " + node + ": Too many open files (errno 24)");
        assertThat(NodeException.opening(node, 1))
                .hasMessageContaining("sandbox")
                .hasMessageContaining("DeviceAllow=");
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            input | rw-rw---- | it belongs to group input; add the service's user to it or install the udev rule
            root  | rw-rw---- | only root may read it; install the udev rule
            input | rw------- | only root may read it; install the udev rule
            """)
    void saysWhichPermissionIsMissing(String group, String mode, String remedy) {
        assertThat(NodeException.remedy(group, PosixFilePermissions.fromString(mode)))
                .isEqualTo(remedy);
    }

    @Test
    void namesTheNodeThatIsForbidden() throws IOException {
        Path node = Files.createFile(
                root.resolve("event3"),
                PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")));
        assertThat(NodeException.opening(node, Libc.EACCES))
                .hasMessage("no permission on " + node + ": only root may read it; install the udev rule")
                .matches(NodeException::isForbidden);
    }
}
