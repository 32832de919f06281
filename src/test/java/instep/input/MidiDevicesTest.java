package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gesture.Threshold;
import instep.input.PedalSettings.MidiContact;
import instep.input.PedalSettings.MidiSignal;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.epoll.EpollIoHandler;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A MIDI foot board that is a FIFO in a tree like sysfs, on a real epoll loop with real inotify. */
@Timeout(60)
class MidiDevicesTest {
    @TempDir
    Path root;

    @Test
    void carriesNotesAndTakesUpABoardThatReturns() throws Exception {
        Recorder told = new Recorder();
        FakeHost host = new FakeHost(root);
        MultiThreadIoEventLoopGroup group = new MultiThreadIoEventLoopGroup(1, EpollIoHandler.newFactory());
        DeviceMatch match = new DeviceMatch("1209:b0a2", "Clay*", "1-2:1.0/midi0", null, null, 1);
        MidiContact note = new MidiContact(0, MidiSignal.NOTE, 1, 60, Threshold.DEFAULT, null);
        List<PedalSettings> pedals = List.of(new PedalSettings.Midi("board", match, List.of(note)));
        try (Devices devices = new Devices(group.next(), pedals, told, host.host(), Ports.ofThisRun())) {
            devices.start();
            assertThat(told.next()).startsWith("device 0 ABSENT: waiting for usb 1209:b0a2");
            DeviceNode node = host.midi("midiC1D0", "Clay Board", "1209:B0A2", "1-2");
            told.expect("device 0 UP: reads " + node.words());
            try (FileChannel wire = host.writing("snd/midiC1D0")) {
                send(wire, "90 3c");
                send(wire, "40");
                told.expect("edge 0 closed");
                host.remove("snd/midiC1D0");
            }
            told.expect("edge 0 lost");
            assertThat(told.next()).startsWith("device 0 ABSENT: " + node.words() + " is gone");
        } finally {
            group.shutdownGracefully(0, 1, TimeUnit.SECONDS).syncUninterruptibly();
        }
    }

    private static void send(FileChannel wire, String hex) throws IOException {
        wire.write(ByteBuffer.wrap(HexFormat.ofDelimiter(" ").parseHex(hex)));
    }
}
