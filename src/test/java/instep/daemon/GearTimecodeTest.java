package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.input.Performance;
import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A running daemon asks a recorder for its timecode and labels its cuts by that. */
class GearTimecodeTest {
    private static final FrameRate RATE = FrameRate.R25;
    /** How late a busy machine may be, besides the frame that a label leaves open. */
    private static final long SLACK_NANOS = 30_000_000L;

    @TempDir
    private Path folder = Path.of("");

    /** A recorder whose timecode runs, and which tells it when asked. */
    private static final class Recorder implements AutoCloseable {
        private final ServerSocket server = new ServerSocket(0, 5, InetAddress.getLoopbackAddress());
        private final long began = System.nanoTime();
        private final Timecode from = Timecode.parse("14:59:58:00", RATE);
        private volatile boolean mute;

        Recorder() throws IOException {
            Thread thread = new Thread(this::serve, "recorder");
            thread.setDaemon(true);
            thread.start();
        }

        private void serve() {
            try (Socket socket = server.accept();
                    BufferedReader in = new BufferedReader(
                            new InputStreamReader(socket.getInputStream(), StandardCharsets.US_ASCII))) {
                for (String line = in.readLine(); line != null; line = in.readLine()) {
                    String said = mute ? "ERR" : "TC " + Timecode.wrapped(RATE, frameAt(System.nanoTime()));
                    socket.getOutputStream().write((said + "\r\n").getBytes(StandardCharsets.US_ASCII));
                }
            } catch (IOException e) {
                // closed
            }
        }

        int port() {
            return server.getLocalPort();
        }

        long frameAt(long nanos) {
            return from.frame() + RATE.frameAt(nanos - began);
        }

        @Override
        public void close() throws IOException {
            server.close();
        }
    }

    private static Settings settings(int port) throws Exception {
        return ConfigReader.parse("gear.yaml", """
                instep: 1
                timecode: { rate: 25, source: gear, gear: recorder, freewheel: 300ms }
                gear:
                  recorder:
                    tcp: 127.0.0.1:%d
                    heartbeat: { send: "TC?", every: 100ms, expect: "^(TC|ERR)", within: 20s }
                    replies: [{ line: "^TC (?<label>[0-9:]+)$", timecode: "{label}" }]
                angles: { wide: { reel: A }, wheel: { reel: B } }
                pedals: { floor: { match: { usb: "1209:2303" }, contacts: { left: { key: KEY_A } } } }
                machine:
                  states:
                    waiting:
                      on: { timecode.locked: rolling }
                    rolling:
                      rolling: true
                      angle: wide
                      on:
                        left.press: { angle: wheel, until: left.release }
                        timecode.lost: waiting
                """.formatted(port));
    }

    @Test
    void labelsCutsAsTheRecorderDoes() throws Exception {
        Performance edges = Performance.parse(
                "presses",
                "2.0 left close\n2.2 left open\n2.51 left close\n2.77 left open\n3.1 left close\n3.3 left open\n");
        RunFolder run = new RunFolder(folder);
        try (Recorder recorder = new Recorder()) {
            Daemon daemon =
                    Daemon.start(settings(recorder.port()), new Daemon.Options(folder, 1, Optional.of(edges), false));
            run.waitForTimecode("locked");
            daemon.performed().join();
            recorder.mute = true;
            run.waitForTimecode("lost");
            daemon.close("over");
            List<Entry> entries = run.entries();
            List<Entry> framed = entries.stream()
                    .filter(entry -> entry.kind() == Kind.CUT || entry.kind() == Kind.TAKE_OPEN)
                    .toList();
            assertThat(framed).hasSizeGreaterThan(6);
            for (Entry entry : framed) {
                assertThat(entry.number(Key.FRAME).orElseThrow())
                        .as(entry.kind() + " at " + entry.tc())
                        .isBetween(
                                recorder.frameAt(entry.mono() - SLACK_NANOS) - 1,
                                recorder.frameAt(entry.mono() + SLACK_NANOS) + 1);
            }
            assertThat(RunFolder.timecodes(entries)).containsSubsequence("locked", "freewheeling", "lost");
            Entry locked = entries.stream()
                    .filter(entry -> entry.text(Key.STATE).equals(Optional.of("locked")))
                    .findFirst()
                    .orElseThrow();
            assertThat(locked.text(Key.SOURCE)).contains("gear");
            assertThat(locked.number(Key.UNCERTAINTY_US)).isPresent();
            assertThat(entries.stream()
                            .filter(entry -> entry.kind() == Kind.REPLY)
                            .flatMap(entry -> entry.text(Key.TIMECODE).stream()))
                    .as("one a second")
                    .hasSizeBetween(2, 40)
                    .allMatch(label -> label.startsWith("14:59:5") || label.startsWith("15:00:"));
        }
        run.holdsInAReplay();
    }
}
