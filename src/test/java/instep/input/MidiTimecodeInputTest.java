package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.input.InputListener.DeviceState;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.epoll.EpollIoHandler;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * A MIDI interface that is a FIFO in a tree like sysfs, on a real epoll loop. The messages are the worked example of MIDI Time Code and Cueing, Detailed Specification (supplement to MIDI 1.0, 12 February
 * 1987; today RP-004 and RP-008 of the MIDI Association): 01:37:52:16 at 30 frames.
 */
@Timeout(60)
class MidiTimecodeInputTest {
    @TempDir
    Path root;

    private final BlockingQueue<String> told = new LinkedBlockingQueue<>();

    private final class Notes implements MidiTimecodeInput.Listener {
        @Override
        public void quarterFrame(int data, long nanos) {
            told.add(String.format("quarter %02x", data));
        }

        @Override
        public void fullFrame(int hours, int minutes, int seconds, int frames, long nanos) {
            told.add(String.format("full %02x %02x %02x %02x", hours, minutes, seconds, frames));
        }

        @Override
        public void ended(long nanos) {
            told.add("ended");
        }

        @Override
        public void device(DeviceState state, String detail) {
            told.add(state.toString());
        }
    }

    private void expect(String... words) throws InterruptedException {
        for (String word : words) {
            assertThat(told.poll(30, TimeUnit.SECONDS)).isEqualTo(word);
        }
    }

    @Test
    void hearsQuarterFramesAndFullMessagesAmongOthers() throws Exception {
        FakeHost host = new FakeHost(root);
        MultiThreadIoEventLoopGroup group = new MultiThreadIoEventLoopGroup(1, EpollIoHandler.newFactory());
        DeviceMatch match = new DeviceMatch("1209:b0a2", null, null, null, null, 1);
        try (MidiTimecodeInput input = new MidiTimecodeInput(group.next(), match, new Notes(), host.host())) {
            input.start();
            expect("ABSENT");
            host.midi("midiC1D0", "Clay Clock", "1209:B0A2", "1-2");
            expect("UP");
            try (FileChannel wire = host.writing("snd/midiC1D0")) {
                wire.write(
                        ByteBuffer.wrap(
                                HexFormat.ofDelimiter(" ")
                                        .parseHex(
                                                "f1 00 90 3c 40 f1 11 f8 f1 76 f0 7f 7f 01 01 61 25 34 10 f7 f0 7f 7f 06 02 f7 f1 00")));
                expect("quarter 00", "quarter 11", "quarter 76", "full 61 25 34 10", "quarter 00");
                host.remove("snd/midiC1D0");
            }
            expect("ended", "ABSENT");
        } finally {
            group.shutdownGracefully(0, 1, TimeUnit.SECONDS).syncUninterruptibly();
        }
    }
}
