package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import io.netty.channel.IoEventLoop;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.epoll.EpollIoHandler;
import java.nio.ByteBuffer;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Objects;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Lamps whose device is a FIFO on a real epoll loop; a real one is in the device lab. */
@Timeout(60)
class LampsTest {
    @TempDir
    private Path folder;

    private final MultiThreadIoEventLoopGroup group = new MultiThreadIoEventLoopGroup(1, EpollIoHandler.newFactory());
    private final IoEventLoop loop = group.next();
    private final BlockingQueue<String> told = new LinkedBlockingQueue<>();
    private final AtomicReference<Optional<Path>> node = new AtomicReference<>(Optional.empty());

    private final GearListener listener = new GearListener() {
        @Override
        public void link(int gear, LinkState state, String why) {
            told.add(state + ": " + why);
        }

        @Override
        public void sent(int gear, long ticket, String text, long nanos) {
            told.add("sent " + ticket + ": " + text);
        }

        @Override
        public void missed(int gear, long ticket, String text, String why) {
            told.add("missed " + ticket + ": " + text + ": " + why);
        }

        @Override
        public void reply(int gear, long ticket, String text, long nanos) {
            told.add("reply");
        }

        @Override
        public void refused(int gear, long ticket, boolean silent, @Nullable String why) {
            told.add("refused");
        }
    };

    @AfterEach
    void endLoop() {
        group.shutdownGracefully(0, 1, TimeUnit.SECONDS).syncUninterruptibly();
    }

    private SlowLink link(int report) {
        GearSettings.Led led = new GearSettings.Led(
                "signs", "floor", report, () -> Objects.requireNonNull(node.get()), TimeUnit.DAYS.toNanos(1));
        return new SlowLink(
                led,
                new LedEncoder(report),
                () -> HidrawNode.open(led, HidrawLibc::openForWriting, node -> Optional.empty()),
                Net.of(loop),
                new Report(listener, 0));
    }

    private static Payload hex(String digits) {
        return new Payload.Bytes(digits);
    }

    private void onLoop(Runnable task) {
        loop.submit(task).syncUninterruptibly();
    }

    private String next() throws InterruptedException {
        return String.valueOf(told.poll(10, TimeUnit.SECONDS));
    }

    /** Open for both, as Linux allows (fifo(7)), so that nobody waits for the other end. */
    private FileChannel fifo() throws Exception {
        Path path = folder.resolve("hidraw3");
        if (!Files.exists(path)) {
            assertThat(new ProcessBuilder("mkfifo", path.toString()).start().waitFor())
                    .isZero();
        }
        node.set(Optional.of(path));
        return FileChannel.open(path, StandardOpenOption.READ, StandardOpenOption.WRITE);
    }

    private static byte[] read(FileChannel device, int bytes) throws Exception {
        return Channels.newInputStream(device).readNBytes(bytes);
    }

    // Documentation/hid/hidraw.rst, write(): the first byte is the report's number, 0 if the device does not number
    // them
    @Test
    void writesTheNumberAndTheBytesOfEachReport() throws Exception {
        try (FileChannel device = fifo()) {
            SlowLink link = link(0);
            onLoop(link::start);
            assertThat(next())
                    .isEqualTo("UP: reports go to " + folder.resolve("hidraw3") + ", the device of pedal floor");
            onLoop(() -> link.send(hex("01ff"), Say.NOTHING, 7));
            assertThat(next()).isEqualTo("sent 7: report 01 ff");
            assertThat(read(device, 3)).containsExactly(0, 1, 0xff);
            onLoop(link::close);
            SlowLink numbered = link(2);
            onLoop(numbered::start);
            assertThat(next()).startsWith("UP: ");
            onLoop(() -> numbered.send(hex("80"), Say.NOTHING, 8));
            assertThat(next()).isEqualTo("sent 8: report 2: 80");
            assertThat(read(device, 2)).containsExactly(2, 0x80);
            onLoop(numbered::close);
        }
    }

    @Test
    void keepsNobodyWaitingForADeviceThatDoesNotTakeItsReport() throws Exception {
        try (FileChannel device = fifo()) {
            SlowLink link = link(0);
            onLoop(link::start);
            assertThat(next()).startsWith("UP: ");
            int room = 65_536; // pipe(7)
            device.write(ByteBuffer.allocate(room));
            onLoop(() -> link.send(hex("01"), Say.NOTHING, 1));
            onLoop(() -> link.send(hex("02"), Say.NOTHING, 2));
            assertThat(loop.submit(link::isQuiet).get()).isFalse();
            onLoop(() -> link.withdraw(ticket -> ticket == 2, "something later was said"));
            assertThat(next()).isEqualTo("missed 2: report 02: something later was said");
            assertThat(told).isEmpty();
            read(device, room);
            assertThat(next()).isEqualTo("sent 1: report 01");
            assertThat(loop.submit(link::isQuiet).get()).isTrue();
            onLoop(link::close);
        }
    }

    @Test
    void saysThatTheDeviceIsGoneAndTakesItUpAgain() throws Exception {
        SlowLink link = link(0);
        onLoop(link::start);
        assertThat(next()).isEqualTo("LOST: the device of pedal floor is not there, or takes no reports");
        try (FileChannel device = fifo()) {
            assertThat(device.isOpen()).isTrue();
            assertThat(next()).startsWith("UP: ");
        }
        assertThat(next()).isEqualTo("LOST: led of floor: it is gone: is its cable in?");
        try (FileChannel device = fifo()) {
            assertThat(next()).startsWith("UP: ");
            onLoop(() -> link.send(hex("01"), Say.NOTHING, 3));
            assertThat(next()).isEqualTo("sent 3: report 01");
            assertThat(read(device, 2)).containsExactly(0, 1);
            onLoop(link::close);
        }
    }

    @Test
    void saysWhatItWasWhenItEnds() throws Exception {
        SlowLink link = link(0);
        onLoop(() -> link.send(hex("01"), Say.NOTHING, 1));
        onLoop(link::close);
        assertThat(next()).isEqualTo("missed 1: report 01: Instep has ended");
        assertThat(told).isEmpty();
    }

    @Test
    void refusesWhatIsNoRawHidDevice() throws Exception {
        Path file = Files.createFile(folder.resolve("hidraw9"));
        assertThatThrownBy(() -> HidrawLibc.open(file)).hasMessage(file + " is not a raw HID device");
    }
}
