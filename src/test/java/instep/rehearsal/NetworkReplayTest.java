package instep.rehearsal;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.daemon.Daemon;
import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import java.io.IOException;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Contacts that come over the network through the whole daemon, and its journal again. */
@Timeout(60)
class NetworkReplayTest {
    @TempDir
    private Path lesson;

    @TempDir
    private Path again;

    private static int free() throws IOException {
        try (ServerSocket tcp = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
                DatagramSocket udp = new DatagramSocket(tcp.getLocalPort(), InetAddress.getLoopbackAddress())) {
            return udp.getLocalPort();
        }
    }

    private static String config(int osc, int tcp) {
        return """
                instep: 1
                timecode: { rate: 25 }
                angles: { wide: { reel: WIDE }, wheel: { reel: WHEEL }, hands: { reel: HANDS } }
                pedals:
                  tablet: { listen: { osc: %d, silent: 100ms }, contacts: { near: } }
                  unit: { listen: { tcp: %d }, contacts: { roll:, far: } }
                machine:
                  states:
                    standby: { on: { roll.press: rolling } }
                    rolling:
                      rolling: true
                      angle: wide
                      on:
                        near.press: { angle: wheel, until: near.release }
                        far.press: { angle: hands, until: far.release }
                        roll.press: standby
                """.formatted(osc, tcp);
    }

    private List<Entry> recorded() throws IOException {
        return Collected.entries(lesson);
    }

    private void awaitEdges(int count) {
        Awaitility.await()
                .ignoreExceptions()
                .until(() -> recorded().stream()
                                .filter(entry -> entry.kind() == Kind.EDGE)
                                .count()
                        >= count);
    }

    /** A contact that falls silent, and one whose peer goes, are let go: both are recorded as lost, and decide the same again. */
    @Test
    void decidesTheSameRecordForRecordAlsoOfWhatIsLost() throws Exception {
        int osc = free();
        int tcp = free();
        Settings settings = ConfigReader.parse("network.yaml", config(osc, tcp));
        Daemon daemon = Daemon.start(settings, new Daemon.Options(lesson, 1, Optional.empty(), false));
        try (DatagramSocket tablet = new DatagramSocket();
                Socket unit = new Socket(InetAddress.getLoopbackAddress(), tcp)) {
            unit.getOutputStream().write("roll\nfar down\nfar up\n".getBytes(StandardCharsets.US_ASCII));
            awaitEdges(4);
            byte[] near = HexFormat.of().parseHex("2f6e656172000000" + "2c540000"); // /near with true (OSC 1.0)
            tablet.send(new DatagramPacket(near, near.length, InetAddress.getLoopbackAddress(), osc));
            awaitEdges(6);
            unit.getOutputStream().write("far down\n".getBytes(StandardCharsets.US_ASCII));
            awaitEdges(7);
            unit.shutdownOutput();
            awaitEdges(8);
        } finally {
            daemon.close("the lesson is over");
        }
        List<Entry> entries = recorded();
        assertThat(entries.stream()
                        .filter(entry -> entry.kind() == Kind.EDGE
                                && entry.text(Key.LOST).isPresent())
                        .map(entry -> entry.text(Key.CONTACT).orElseThrow()))
                .containsExactly("tablet.near", "unit.far");
        List<Decision> decided = Collected.decisions(lesson);
        assertThat(decided.stream().filter(decision -> decision.kind() == Kind.CUT))
                .hasSize(7);
        assertThat(Replay.write(RecordedRun.read(lesson, 0).orElseThrow(), settings, again, "again"))
                .isEmpty();
        assertThat(Collected.decisions(again)).isEqualTo(decided);
    }
}
