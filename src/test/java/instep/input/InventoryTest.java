package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.input.Inventory.Device;
import instep.input.Inventory.Reading;
import io.netty.channel.IoEventLoop;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.epoll.EpollIoHandler;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

@Timeout(60)
class InventoryTest {
    @TempDir
    Path root;

    private final MultiThreadIoEventLoopGroup group = new MultiThreadIoEventLoopGroup(1, EpollIoHandler.newFactory());
    private final IoEventLoop loop = group.next();
    private final BlockingQueue<String> told = new LinkedBlockingQueue<>();
    private FakeHost host;

    @BeforeEach
    void makeHost() throws IOException {
        host = new FakeHost(root);
    }

    @AfterEach
    void endLoop() {
        group.shutdownGracefully(0, 1, TimeUnit.SECONDS).syncUninterruptibly();
    }

    @Test
    void listsWhatCouldBeAPedal() throws Exception {
        host.event("event4", "Clay Works Pedal", "1209:2303", "usb-2/input0");
        host.event("event5", "Clay Works Scale", "1209:0005", "usb-3/input0");
        host.sendsNothing("event5");
        host.raw("hidraw0", "Clay Works Pedal", "1209:2303", "usb-2/input0");
        Files.createDirectories(root.resolve("sys/class/hidraw/hidraw0/device/input/input7/event4"));
        host.raw("hidraw1", "Clay Works Box", "1209:b0b0", "usb-1/input0");
        host.refusals.put("hidraw1", Libc.EACCES);
        assertThat(new Inventory(host.host()).devices())
                .containsExactly(
                        new Device(
                                host.dev().resolve("hidraw1"),
                                "Clay Works Box",
                                "1209:b0b0",
                                "usb-1/input0",
                                "SN-hidraw1",
                                Reading.REPORTS,
                                "no permission on " + host.dev().resolve("hidraw1")
                                        + ": only root may read it; install the udev rule"),
                        new Device(
                                host.dev().resolve("input/event4"),
                                "Clay Works Pedal",
                                "1209:2303",
                                "usb-2/input0",
                                "SN-event4",
                                Reading.KEYS,
                                ""));
    }

    @Test
    void listensToAllThatIsThereAndThatComes() throws Exception {
        host.event("event4", "Clay Works Pedal", "1209:2303", "usb-2/input0");
        try (Listening listening = new Inventory(host.host()).listen(loop, new Told())) {
            assertThat(listening).isNotNull();
            expect("event4 came");
            try (FileChannel device = host.writing("input/event4")) {
                device.write(ByteBuffer.wrap(EvdevDecoderTest.event(5000, 1, 30, 1)));
                expect("event4 key: KEY_A closed 5000");
                host.raw("hidraw1", "Clay Works Box", "1209:b0b0", "usb-1/input0");
                expect("hidraw1 came");
                try (FileChannel box = host.writing("hidraw1")) {
                    box.write(ByteBuffer.wrap(new byte[] {0, 0x41}));
                    expect("hidraw1 byte: 1, bit: 0 closed", "hidraw1 byte: 1, bit: 6 closed");
                    host.remove("hidraw1");
                }
                expect("hidraw1 went");
            }
        }
    }

    // MIDI 1.0: a velocity of 0 is a note-off, status bytes may be left out, and controllers from 120 on are modes
    @Test
    void hearsNotesControllersAndProgramsOfAMidiBoard() throws Exception {
        host.midi("midiC1D0", "Clay Board", "1209:B0A2", "1-2");
        assertThat(new Inventory(host.host()).devices())
                .containsExactly(new Device(
                        host.dev().resolve("snd/midiC1D0"),
                        "Clay Board",
                        "1209:b0a2",
                        "1-2:1.0/midi0",
                        "",
                        Reading.MIDI,
                        ""));
        try (Listening listening = new Inventory(host.host()).listen(loop, new Told())) {
            assertThat(listening).isNotNull();
            expect("midiC1D0 came");
            try (FileChannel board = host.writing("snd/midiC1D0")) {
                board.write(ByteBuffer.wrap(
                        HexFormat.of().parseHex("913c403c00" + "b00b7f0b00" + "b07b00" + "c50fe00040")));
                expect(
                        "midiC1D0 note: 60, channel: 2 closed",
                        "midiC1D0 note: 60, channel: 2 open",
                        "midiC1D0 controller: 11, channel: 1 stands at 0.0",
                        "midiC1D0 controller: 11, channel: 1 moved to 1.0",
                        "midiC1D0 controller: 11, channel: 1 moved to 0.0",
                        "midiC1D0 program: 15, channel: 6 closed",
                        "midiC1D0 program: 15, channel: 6 open");
                host.remove("snd/midiC1D0");
            }
            expect("midiC1D0 went");
            host.midi("midiC2D0", "Clay Board", "1209:B0A2", "1-3");
            expect("midiC2D0 came");
        }
    }

    @Test
    void triesADeviceAgainThatWasForbidden() throws Exception {
        host.event("event4", "Clay Works Pedal", "1209:2303", "usb-2/input0");
        host.refusals.put("event4", Libc.EACCES);
        try (Listening listening = new Inventory(host.host()).listen(loop, new Told())) {
            assertThat(listening).isNotNull();
            expect("event4 came, but no permission");
            host.refusals.clear();
            Path node = host.dev().resolve("input/event4");
            Files.setPosixFilePermissions(node, Files.getPosixFilePermissions(node));
            expect("event4 came");
        }
    }

    @Test
    void comparesANumberedReportWithTheLastOfItsNumber() {
        BitReading reading = new BitReading(
                true,
                (report, index, bit, closed, nanos) ->
                        told.add(report + "." + index + "." + bit + (closed ? " closed" : " open")));
        for (byte[] report : new byte[][] {{1, 1}, {2, 0}, {1, 1}, {2, 4}, {1, 0}}) {
            reading.buffer().put(0, report);
            reading.received(report.length);
        }
        assertThat(told).containsExactly("1.1.0 closed", "2.1.2 closed", "1.1.0 open");
    }

    private void expect(String... texts) throws InterruptedException {
        for (String text : texts) {
            assertThat(told.poll(10, TimeUnit.SECONDS)).isEqualTo(text);
        }
    }

    private final class Told implements Inventory.Listener {
        @Override
        public void came(Device device) {
            told.add(device.node().getFileName() + " came" + (device.isReadable() ? "" : ", but no permission"));
        }

        @Override
        public void went(Device device) {
            told.add(device.node().getFileName() + " went");
        }

        @Override
        public void switched(Device device, Signal signal, boolean closed, long nanos) {
            told.add(device.node().getFileName() + " " + signal.keys() + (closed ? " closed" : " open")
                    + (signal instanceof Signal.Key ? " " + nanos : ""));
        }

        @Override
        public void stands(Device device, Signal signal, double share) {
            told.add(device.node().getFileName() + " " + signal.keys() + " stands at " + share);
        }

        @Override
        public void moved(Device device, Signal signal, double share, long nanos) {
            told.add(device.node().getFileName() + " " + signal.keys() + " moved to " + share);
        }
    }
}
