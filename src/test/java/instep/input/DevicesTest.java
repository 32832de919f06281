package instep.input;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.awaitility.Awaitility.await;

import instep.input.PedalSettings.Events;
import instep.input.PedalSettings.ReportBits;
import instep.input.PedalSettings.Reports;
import io.netty.channel.IoEventLoop;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.epoll.EpollIoHandler;
import io.netty.channel.unix.FileDescriptor;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.management.JMException;
import javax.management.ObjectName;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Devices that are FIFOs in a tree like sysfs, on a real epoll loop with real inotify. */
@Timeout(60)
class DevicesTest {
    private static final int KEY_A = 30;
    private static final int KEY_B = 48;
    private static final DeviceMatch PEDAL = new DeviceMatch("1209:2303", null, null, null, null, 1);
    private static final DeviceMatch SECOND_PEDAL = new DeviceMatch("1209:2303", null, null, null, null, 2);
    private static final DeviceMatch SECOND_BOX = new DeviceMatch("1209:b0b0", null, null, null, null, 2);
    private static final DeviceMatch BOX = new DeviceMatch("1209:b0b0", null, null, null, null, 1);

    @TempDir
    Path root;

    private final Recorder told = new Recorder();
    private final MultiThreadIoEventLoopGroup group = new MultiThreadIoEventLoopGroup(1, EpollIoHandler.newFactory());
    private final IoEventLoop loop = group.next();
    private FakeHost host;
    private Devices devices;

    @BeforeEach
    void makeHost() throws IOException {
        host = new FakeHost(root);
        devices = new Devices(loop, List.of(), told, host.host(), Ports.ofThisRun());
    }

    @AfterEach
    void endLoop() {
        devices.close();
        group.shutdownGracefully(0, 1, TimeUnit.SECONDS).syncUninterruptibly();
    }

    @Test
    void carriesKeysFromTheNodeToTheListener() throws Exception {
        plugPedal("event3", "usb-2/input0");
        start(keys("floor", PEDAL, true));
        told.expect("device 0 UP: reads " + words("event3") + ", grabbed");
        try (FileChannel device = host.writing("input/event3")) {
            send(device, 7_000_000_000L, KEY_A, 1);
            told.expect("edge 0 closed");
            assertThat(told.nanos).isEqualTo(7_000_000_000L);
            send(device, 7_100_000_000L, KEY_A, 2);
            send(device, 7_200_000_000L, 57, 1); // a key that is no contact
            send(device, 7_300_000_000L, KEY_B, 1);
            send(device, 7_400_000_000L, KEY_A, 0);
            told.expect("edge 1 closed", "edge 0 open");
            assertThat(told.nanos).isEqualTo(7_400_000_000L);
            devices.close();
        }
        told.expectNothingMore();
    }

    @Test
    void opensWhatIsClosedWhenTheDeviceVanishesAndTakesItUpAgain() throws Exception {
        plugPedal("event3", "usb-2/input0");
        start(keys("floor", PEDAL, false));
        told.expect("device 0 UP: reads " + words("event3"));
        try (FileChannel device = host.writing("input/event3")) {
            send(device, 1000, KEY_A, 1);
            send(device, 2000, KEY_B, 1);
            told.expect("edge 0 closed", "edge 1 closed");
            host.remove("input/event3");
        }
        told.expect(
                "edge 0 lost",
                "edge 1 lost",
                "device 0 ABSENT: " + words("event3") + " is gone; waiting for usb 1209:2303");
        plugPedal("event5", "usb-2/input0");
        told.expect("device 0 UP: reads " + words("event5"));
        try (FileChannel device = host.writing("input/event5")) {
            send(device, 3000, KEY_A, 1);
            told.expect("edge 0 closed");
            devices.close();
        }
        told.expectNothingMore();
    }

    @Test
    void waitsForADeviceAndSaysSoOnce() throws Exception {
        start(keys("floor", PEDAL, false));
        told.expect("device 0 ABSENT: waiting for usb 1209:2303");
        assertThat(host.dev().resolve("input")).doesNotExist();
        host.event("event0", "Clay Works Lamp", "1209:0001", "usb-1/input0"); // another device, and /dev/input with it
        plugPedal("event1", "usb-2/input0");
        told.expect("device 0 UP: reads " + words("event1"));
    }

    @Test
    void seesADirectoryOfNodesThatComesGoesAndComesAgain() throws Exception {
        plugPedal("event1", "usb-2/input0");
        start(keys("floor", PEDAL, false));
        told.expect("device 0 UP: reads " + words("event1"));
        FileChannel device = host.writing("input/event1");
        host.remove("input/event1");
        Files.delete(host.dev().resolve("input")); // the kernel removes a directory that has become empty
        device.close();
        told.expect("device 0 ABSENT: " + words("event1") + " is gone; waiting for usb 1209:2303");
        plugPedal("event1", "usb-2/input0");
        told.expect("device 0 UP: reads " + words("event1"));
    }

    @Test
    void saysAtOnceWhatIsMissingForADeviceThatWasThereAtTheStart() throws Exception {
        plugPedal("event3", "usb-2/input0");
        host.refusals.put("event3", Libc.EACCES);
        start(keys("floor", PEDAL, false));
        String denied = told.next();
        assertThat(denied)
                .startsWith("device 0 DENIED: no permission on " + node("event3") + ": ")
                .endsWith("install the udev rule");
        touch("event3");
        touch("event3");
        host.refusals.clear();
        touch("event3");
        told.expect("device 0 UP: reads " + words("event3"));
    }

    @Test
    void doesNotComplainOfADeviceThatGetsItsPermissionsInAMoment() throws Exception {
        start(keys("floor", PEDAL, false));
        told.expect("device 0 ABSENT: waiting for usb 1209:2303");
        host.refusals.put("event3", Libc.EACCES);
        plugPedal("event3", "usb-2/input0");
        OnLoop.run(loop, () -> {});
        host.refusals.clear();
        touch("event3");
        told.expect("device 0 UP: reads " + words("event3"));
    }

    @Test
    void complainsOfADeviceThatStaysForbidden() throws Exception {
        start(keys("floor", PEDAL, false));
        told.expect("device 0 ABSENT: waiting for usb 1209:2303");
        host.refusals.put("event3", Libc.EACCES);
        plugPedal("event3", "usb-2/input0");
        touch("event3");
        assertThat(told.next()).startsWith("device 0 DENIED: no permission on " + node("event3"));
    }

    /** A raw node is root's alone until a person has written the rule that identify prints. */
    @Test
    void takesUpABoxOnceItsRawNodeMayBeRead() throws Exception {
        host.raw("hidraw1", "Clay Works Box", "1209:b0b0", "usb-3/input0");
        host.refusals.put("hidraw1", Libc.EACCES);
        start(box());
        Path node = host.dev().resolve("hidraw1");
        assertThat(told.next()).startsWith("device 0 DENIED: no permission on " + node + ": ");
        host.refusals.clear();
        Files.setPosixFilePermissions(node, Files.getPosixFilePermissions(node));
        told.expect("device 0 UP: reads " + node + " (Clay Works Box, usb 1209:b0b0)");
    }

    @Test
    void triesAgainWhileAnotherProgramHoldsTheDevice() throws Exception {
        plugPedal("event3", "usb-2/input0");
        host.refusals.put("event3", Libc.EBUSY);
        start(keys("floor", PEDAL, true));
        told.expect("device 0 DENIED: another program holds it: " + words("event3")
                + "; end that program, or set grab: false");
        host.refusals.clear();
        told.expect("device 0 UP: reads " + words("event3") + ", grabbed");
    }

    @Test
    void doesNotTakeAKeyThatIsDownAtTheStartForAPress() throws Exception {
        plugPedal("event3", "usb-2/input0");
        host.down.put("event3", new long[] {1L << KEY_A, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0});
        start(keys("floor", PEDAL, false));
        told.expect("device 0 UP: reads " + words("event3")
                + "; KEY_A is down already and counts from when it is next pressed");
        try (FileChannel device = host.writing("input/event3")) {
            send(device, 1000, KEY_A, 0);
            send(device, 2000, KEY_B, 1);
            told.expect("edge 1 closed");
        }
    }

    @Test
    void passesOverANodeOfTheDeviceThatLacksTheKeys() throws Exception {
        DeviceNode wheel = plugPedal("event2", "usb-2/input1");
        host.keysOf("event2", "70000 0 0 0 0"); // BTN_LEFT, BTN_RIGHT, BTN_MIDDLE
        start(keys("floor", PEDAL, false));
        told.expect("device 0 DENIED: " + wheel.words() + " has no KEY_A");
        plugPedal("event3", "usb-2/input0");
        told.expect("device 0 UP: reads " + words("event3"));
    }

    @Test
    void tellsTwoOfAKindApartByWhereTheyArePluggedIn() throws Exception {
        plugPedal("event3", "usb-10/input0");
        plugPedal("event4", "usb-2/input0");
        start(keys("floor", PEDAL, false), keys("desk", SECOND_PEDAL, false));
        told.expect("device 0 UP: reads " + words("event4"), "device 1 UP: reads " + words("event3"));
        // Both are unplugged; the second comes back first and is the second still.
        FileChannel first = host.writing("input/event4");
        FileChannel second = host.writing("input/event3");
        host.remove("input/event4");
        first.close();
        told.expect("device 0 ABSENT: " + words("event4") + " is gone; waiting for usb 1209:2303");
        host.remove("input/event3");
        second.close();
        told.expect("device 1 ABSENT: " + words("event3") + " is gone; waiting for usb 1209:2303, which 2");
        plugPedal("event5", "usb-10/input0");
        told.expect("device 1 UP: reads " + words("event5"));
        plugPedal("event6", "usb-2/input0");
        told.expect("device 0 UP: reads " + words("event6"));
    }

    @Test
    void givesTheSecondOfTwoItsOwnPlaceAlsoAtAStartAtWhichItComesFirst() throws Exception {
        plugPedal("event3", "usb-10/input0");
        plugPedal("event4", "usb-2/input0");
        start(keys("floor", PEDAL, false), keys("desk", SECOND_PEDAL, false));
        told.expect("device 0 UP: reads " + words("event4"), "device 1 UP: reads " + words("event3"));
        await().until(() -> Files.exists(root.resolve("ports")));
        devices.close();
        host.remove("input/event3");
        host.remove("input/event4");
        plugPedal("event0", "usb-10/input0");
        start(keys("floor", PEDAL, false), keys("desk", SECOND_PEDAL, false));
        told.expect("device 0 ABSENT: waiting for usb 1209:2303; what matches is another pedal's: " + words("event0"));
        told.expect("device 1 UP: reads " + words("event0"));
        plugPedal("event1", "usb-2/input0");
        told.expect("device 0 UP: reads " + words("event1"));
    }

    @Test
    void countsAnewByPortWhenAllAreThereAtAStart() throws Exception {
        plugPedal("event3", "usb-10/input0");
        plugPedal("event4", "usb-2/input0");
        start(keys("floor", PEDAL, false), keys("desk", SECOND_PEDAL, false));
        told.expect("device 0 UP: reads " + words("event4"), "device 1 UP: reads " + words("event3"));
        await().until(() -> Files.exists(root.resolve("ports")));
        devices.close();
        host.remove("input/event3");
        plugPedal("event3", "usb-1/input0"); // from port 10 to 1, which comes before 2
        start(keys("floor", PEDAL, false), keys("desk", SECOND_PEDAL, false));
        told.expect("device 0 UP: reads " + words("event3"), "device 1 UP: reads " + words("event4"));
    }

    @Test
    void leavesNoneOfTwoAloneThatCameInTheWrongOrderAtTheVeryFirstStart() throws Exception {
        plugPedal("event3", "usb-10/input0");
        start(keys("floor", PEDAL, false), keys("desk", SECOND_PEDAL, false));
        told.expect("device 0 UP: reads " + words("event3"));
        told.expect("device 1 ABSENT: waiting for usb 1209:2303, which 2; what matches is another pedal's: "
                + words("event3"));
        plugPedal("event4", "usb-2/input0");
        told.expect("device 1 UP: reads " + words("event4"));
        await().until(() -> Files.exists(root.resolve("ports")));
        devices.close();
        start(keys("floor", PEDAL, false), keys("desk", SECOND_PEDAL, false));
        told.expect("device 0 UP: reads " + words("event4"), "device 1 UP: reads " + words("event3"));
    }

    @Test
    void takesAMatchThatWasChangedForAnotherDevice() throws Exception {
        plugPedal("event3", "usb-10/input0");
        plugPedal("event4", "usb-2/input0");
        start(keys("floor", PEDAL, false), keys("desk", SECOND_PEDAL, false));
        told.expect("device 0 UP: reads " + words("event4"), "device 1 UP: reads " + words("event3"));
        await().until(() -> Files.exists(root.resolve("ports")));
        devices.close();
        start(keys("floor", SECOND_PEDAL, false), keys("desk", PEDAL, false));
        told.expect("device 0 UP: reads " + words("event3"), "device 1 UP: reads " + words("event4"));
    }

    @Test
    void startsWithoutPortsThatCannotBeReadAndSaysThatTheyCannotBeKept() throws Exception {
        Path ports = root.resolve("ports");
        Files.writeString(ports, "floor=\\u00zz");
        plugPedal("event3", "usb-10/input0");
        plugPedal("event4", "usb-2/input0");
        Files.createDirectories(root.resolve("ports.part")); // in the way of what is written first
        start(keys("floor", PEDAL, false), keys("desk", SECOND_PEDAL, false));
        told.expect("device 0 UP: reads " + words("event4"), "device 1 UP: reads " + words("event3"));
        assertThat(told.next()).startsWith("odd 0: cannot keep which port is whose for the next start: ");
    }

    @Test
    void lightsNoLampOfTheTwinWhileThePedalIsOut() throws Exception {
        host.raw("hidraw1", "Clay Works Box", "1209:b0b0", "usb-2/input0");
        host.raw("hidraw2", "Clay Works Box", "1209:b0b0", "usb-10/input0");
        PedalSettings second = new Reports("second", SECOND_BOX, List.of(ReportBits.ofBit(8, 2, 3)), List.of());
        Ports ports = start(box(), second);
        assertThat(told.next()).startsWith("device 0 UP: ");
        assertThat(told.next()).startsWith("device 1 UP: ");
        assertThat(OutputReports.node(box(), host.sysfs(), ports))
                .contains(host.dev().resolve("hidraw1"));
        assertThat(OutputReports.node(second, host.sysfs(), ports))
                .contains(host.dev().resolve("hidraw2"));
        try (FileChannel device = host.writing("hidraw1")) {
            host.remove("hidraw1");
            assertThat(device.isOpen()).isTrue();
        }
        assertThat(told.next()).startsWith("device 0 ABSENT: ");
        assertThat(OutputReports.node(box(), host.sysfs(), ports)).isEmpty();
        assertThat(OutputReports.node(second, host.sysfs(), ports))
                .contains(host.dev().resolve("hidraw2"));
        host.raw("hidraw7", "Clay Works Box", "1209:b0b0", "usb-2/input0");
        assertThat(told.next()).startsWith("device 0 UP: ");
        assertThat(OutputReports.node(box(), host.sysfs(), ports))
                .contains(host.dev().resolve("hidraw7"));
    }

    @Test
    void doesNotOpenADeviceTwice() throws Exception {
        plugPedal("event3", "usb-2/input0");
        start(keys("floor", PEDAL, false), keys("desk", PEDAL, false));
        told.expect(
                "device 0 UP: reads " + words("event3"),
                "device 1 ABSENT: waiting for usb 1209:2303; what matches is another pedal's: " + words("event3"));
    }

    @Test
    void findsADeviceByALinkThatIsRenamedIntoPlaceAsUdevDoes() throws Exception {
        Path link = host.dev().resolve("input/by-id/pedal");
        plugPedal("event3", "usb-2/input0");
        Files.createDirectories(link.getParent());
        start(keys("floor", new DeviceMatch(null, null, null, null, link.toString(), 1), false));
        told.expect("device 0 ABSENT: waiting for path " + link);
        Files.createSymbolicLink(link.resolveSibling("unfinished"), Path.of("../event3"));
        Files.move(link.resolveSibling("unfinished"), link);
        told.expect("device 0 UP: reads " + words("event3"));
    }

    @Test
    void findsADeviceByALinkInADirectoryThatComesLater() throws Exception {
        Path link = host.dev().resolve("input/by-id/pedal");
        start(keys("floor", new DeviceMatch(null, null, null, null, link.toString(), 1), false));
        told.expect("device 0 ABSENT: waiting for path " + link);
        plugPedal("event3", "usb-2/input0");
        OnLoop.run(loop, () -> {});
        Files.createDirectories(link.getParent());
        OnLoop.run(loop, () -> {});
        Files.createSymbolicLink(link, Path.of("../event3"));
        told.expect("device 0 UP: reads " + words("event3"));
    }

    @Test
    void readsReportsOfTheNodeThatTheListingNames() throws Exception {
        host.raw("hidraw1", "", "1209:b0b0", "usb-3/input0");
        host.hid = () -> List.of(new HidListing.Listed("/dev/hidraw1", "1209:b0b0", "", "Clay Works Box"));
        start(box());
        told.expect("device 0 UP: reads " + host.dev().resolve("hidraw1") + " (Clay Works Box, usb 1209:b0b0)");
        try (FileChannel device = host.writing("hidraw1")) {
            device.write(ByteBuffer.wrap(new byte[] {0, 0, 8}));
            told.expect("edge 7 closed");
            host.remove("hidraw1");
        }
        assertThat(told.next()).isEqualTo("edge 7 lost");
        assertThat(told.next()).startsWith("device 0 ABSENT: ");
        host.hid = List::of;
        host.raw("hidraw4", "Clay Works Box", "1209:b0b0", "usb-3/input0");
        told.expect("device 0 UP: reads " + host.dev().resolve("hidraw4") + " (Clay Works Box, usb 1209:b0b0)");
    }

    @Test
    void doesNotReadAnotherDeviceThatTookTheNodeWhileItWasOpened() throws Exception {
        start(keys("floor", PEDAL, false));
        told.expect("device 0 ABSENT: waiting for usb 1209:2303");
        host.meanwhile.put("event3", () -> {
            host.remove("input/event3");
            return host.event("event3", "Clay Works Lamp", "1209:0001", "usb-1/input0");
        });
        long before = openFiles();
        plugPedal("event3", "usb-2/input0");
        await().until(host.meanwhile::isEmpty);
        OnLoop.run(loop, () -> {});
        told.expectNothingMore();
        assertThat(openFiles()).isEqualTo(before);
        plugPedal("event4", "usb-2/input0");
        told.expect("device 0 UP: reads " + words("event4"));
    }

    @Test
    void takesUpADeviceThatCameBackWhileItWasOpened() throws Exception {
        start(keys("floor", PEDAL, false));
        told.expect("device 0 ABSENT: waiting for usb 1209:2303");
        host.meanwhile.put("event3", () -> {
            host.remove("input/event3");
            return plugPedal("event5", "usb-2/input0");
        });
        plugPedal("event3", "usb-2/input0");
        told.expect("device 0 UP: reads " + words("event5"));
    }

    @Test
    void holdsNoMoreAfterTenThousandPlugsThanAfterOne() throws Exception {
        plugPedal("event3", "usb-2/input0");
        start(keys("floor", PEDAL, false));
        told.expect("device 0 UP: reads " + words("event3"));
        long before = openFiles();
        long[] nanos = new long[10_000];
        Map<String, Long> objects = Map.of();
        for (int i = 0; i < nanos.length; i++) {
            if (i == nanos.length / 2) { // by then all classes are loaded, and what is kept for a while is full
                objects = objects();
            }
            FileChannel device = host.writing("input/event3");
            host.replug("input/event3");
            long readable = System.nanoTime();
            device.close();
            assertThat(told.next()).startsWith("device 0 ABSENT: ");
            assertThat(told.next()).startsWith("device 0 UP: ");
            nanos[i] = System.nanoTime() - readable;
        }
        Map<String, Long> half = objects;
        Map<String, Long> gained = objects();
        gained.replaceAll((type, count) -> count - half.getOrDefault(type, 0L));
        // Strings and the like are also kept by what runs the tests, and by threads that others have left.
        gained.keySet()
                .removeIf(type -> !type.matches("instep\\..*|io\\.netty\\..*|sun\\.nio\\.ch\\..*|java\\.nio\\..*"));
        Arrays.sort(nanos);
        System.out.printf(
                "from readable to read: median %d us, 99 of 100 %d us, at most %d us%n",
                nanos[5_000] / 1_000, nanos[9_900] / 1_000, nanos[9_999] / 1_000);
        assertThat(gained)
                .as("objects more of each class after 5,000 plugs")
                .allSatisfy((type, count) -> assertThat(count).as(type).isLessThan(4_500));
        OnLoop.run(loop, () -> assertThat(devices.known()).isEqualTo(1));
        await().until(() -> openFiles() == before); // descriptors are closed in the background
    }

    @Test
    void saysThatHid4JavaIsMissingAndGoesOnWithoutIt() throws Exception {
        host.raw("hidraw1", "Clay Works Box", "1209:b0b0", "usb-3/input0");
        host.hid = () -> {
            throw new HidListing.Unavailable("hid4java cannot be loaded: no libudev", new IOException());
        };
        start(box());
        told.expect(
                "device 0 DENIED: hid4java cannot be loaded: no libudev; looking for it in " + root.resolve("sys")
                        + " alone",
                "device 0 UP: reads " + host.dev().resolve("hidraw1") + " (Clay Works Box, usb 1209:b0b0)");
    }

    @Test
    void readsAPipeInPlaceOfADevice() throws Exception {
        devices = new Devices(loop, List.of(keys("floor", PEDAL, true), box()), told, host.host(), Ports.ofThisRun());
        KeyPipe pipe = KeyPipe.open();
        devices.attach(0, pipe.readEnd());
        told.expect("device 0 UP: reads a descriptor in place of the device");
        pipe.key(KEY_B, true, 1_234_567_891L);
        told.expect("edge 1 closed");
        assertThat(told.nanos).isEqualTo(1_234_567_000L);
        pipe.close();
        told.expect("edge 1 lost", "device 0 ABSENT: waiting for usb 1209:2303");
        try (KeyPipe other = KeyPipe.open()) {
            assertThatExceptionOfType(IllegalArgumentException.class)
                    .isThrownBy(() -> devices.attach(2, other.readEnd()));
        }
    }

    @Test
    void allocatesNextToNothingFromTheNodeToTheListener() throws Exception {
        Counting counting = new Counting();
        devices = new Devices(loop, List.of(keys("floor", PEDAL, true)), counting, host.host(), Ports.ofThisRun());
        try (KeyPipe pipe = KeyPipe.open()) {
            devices.attach(0, pipe.readEnd());
            for (int i = 1; i <= 2 * Counting.ROUNDS; i++) {
                pipe.key(KEY_A, i % 2 == 1, i);
                while (counting.edges < i - 500) { // the pipe holds no more than that
                    Thread.onSpinWait();
                }
            }
            long allocated = counting.allocated.get(10, TimeUnit.SECONDS);
            assertThat(allocated / Counting.ROUNDS).as("bytes an edge").isLessThan(16);
        }
    }

    /** Notes what its thread allocates in the second half of all edges. */
    private static final class Counting implements InputListener {
        private static final int ROUNDS = 20_000;
        private final com.sun.management.ThreadMXBean threads =
                (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
        private final CompletableFuture<Long> allocated = new CompletableFuture<>();
        private volatile int edges;
        private long before;

        @Override
        @SuppressWarnings("NonAtomicVolatileUpdate") // only the loop writes
        public void edge(int contact, boolean closed, boolean lost, long nanos) {
            edges++;
            if (edges == ROUNDS) {
                before = threads.getCurrentThreadAllocatedBytes();
            } else if (edges == 2 * ROUNDS) {
                allocated.complete(threads.getCurrentThreadAllocatedBytes() - before);
            }
        }

        @Override
        public void device(int pedal, DeviceState state, String detail, long nanos) {}
    }

    @Test
    void readsOneReportARead() throws Exception {
        int[] ends = new int[2];
        assertThat(Libc.pipe2(ends, Libc.O_NONBLOCK | Libc.O_CLOEXEC | Libc.O_DIRECT))
                .isZero();
        FileDescriptor writing = new FileDescriptor(ends[1]);
        ByteBuffer reports = ByteBuffer.allocateDirect(8).put(0, new byte[] {0, 0, 8, 0, 0, 8, 0, 0});
        OnLoop.run(loop, () -> {
            // all of them wait in the pipe before the first is read
            writing.write(reports, 0, 3);
            writing.write(reports, 1, 2);
            writing.write(reports, 4, 8);
            writing.write(reports, 3, 6);
        });
        devices = new Devices(loop, List.of(box()), told, host.host(), Ports.ofThisRun());
        devices.attach(0, ends[0]);
        told.expect(
                "device 0 UP: reads a descriptor in place of the device",
                "edge 7 closed",
                "edge 7 open",
                "edge 7 closed");
        writing.close();
        told.expect("edge 7 lost", "device 0 ABSENT: waiting for usb 1209:b0b0");
    }

    @Test
    void refusesADescriptorThatCannotBeWaitedFor() throws Exception {
        devices = new Devices(loop, List.of(keys("floor", PEDAL, true)), told, host.host(), Ports.ofThisRun());
        int file = Libc.open(Files.createFile(root.resolve("file")).toString(), Libc.O_RDONLY | Libc.O_NONBLOCK);
        assertThatExceptionOfType(IOException.class).isThrownBy(() -> devices.attach(0, file));
    }

    @Test
    void leavesNothingOpen() throws Exception {
        long before = openFiles();
        plugPedal("event3", "usb-2/input0");
        start(keys("floor", PEDAL, false), box());
        told.next();
        assertThat(told.next()).startsWith("device 1 ABSENT");
        assertThat(openFiles()).isGreaterThan(before);
        devices.close();
        assertThat(openFiles()).isEqualTo(before);
    }

    /** How many live objects there are of each class: a leak is as many more as there were plugs, whatever else the heap does. */
    private static Map<String, Long> objects() throws JMException {
        String histogram = (String) ManagementFactory.getPlatformMBeanServer()
                .invoke(
                        new ObjectName("com.sun.management:type=DiagnosticCommand"),
                        "gcClassHistogram",
                        new Object[] {new String[0]},
                        new String[] {String[].class.getName()});
        Map<String, Long> objects = new HashMap<>();
        Matcher line = Pattern.compile("(?m)^ *\\d+: +(\\d+) +\\d+ +(\\S+)").matcher(histogram);
        while (line.find()) {
            objects.merge(line.group(2), Long.parseLong(line.group(1)), Long::sum);
        }
        return objects;
    }

    private long openFiles() throws IOException {
        try (var files = Files.list(Path.of("/proc/self/fd"))) {
            return files.filter(file -> leadsHere(file)).count();
        }
    }

    /** To a node of this test or to inotify; other threads of the test run open files, too. */
    private boolean leadsHere(Path file) {
        try {
            String target = Files.readSymbolicLink(file).toString();
            return target.startsWith(root.toString()) || target.contains("inotify");
        } catch (IOException e) {
            return false;
        }
    }

    private Ports start(PedalSettings... pedals) {
        Ports ports = Ports.in(root);
        devices = new Devices(loop, List.of(pedals), told, host.host(), ports);
        devices.start();
        return ports;
    }

    private DeviceNode plugPedal(String file, String phys) throws IOException {
        return host.event(file, "Clay Works Pedal", "1209:2303", phys);
    }

    /** Changes the attributes of a node, as udev does. */
    private void touch(String file) throws IOException {
        Files.setPosixFilePermissions(node(file), Files.getPosixFilePermissions(node(file)));
    }

    private Path node(String file) {
        return host.dev().resolve("input").resolve(file);
    }

    private String words(String file) {
        return node(file) + " (Clay Works Pedal, usb 1209:2303)";
    }

    private static Events keys(String name, DeviceMatch match, boolean grab) {
        return new Events(
                name,
                match,
                grab,
                List.of(new PedalSettings.Key(0, KEY_A), new PedalSettings.Key(1, KEY_B)),
                List.of(),
                List.of());
    }

    private static Reports box() {
        return new Reports("box", BOX, List.of(ReportBits.ofBit(7, 2, 3)), List.of());
    }

    private static void send(FileChannel device, long nanos, int code, int value) throws IOException {
        device.write(ByteBuffer.wrap(EvdevDecoderTest.join(
                EvdevDecoderTest.event(nanos, 4, 4, 0x70000),
                EvdevDecoderTest.event(nanos, 1, code, value),
                EvdevDecoderTest.event(nanos, 0, 0, 0))));
    }
}
