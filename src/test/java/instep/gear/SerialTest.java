package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gear.GearSettings.LineEnd;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A serial line against a pair of pseudo terminals that socat (Debian) holds. */
class SerialTest {
    private static final String SOCAT = "/usr/bin/socat";

    @TempDir
    Path folder;

    private final Told told = new Told();
    private final HandLoop hand = new HandLoop(HandLoop.Kind.EPOLL);
    private Rack rack = new Rack(hand.loop, List.of(), told);

    @AfterEach
    void close() {
        rack.close();
        hand.close();
    }

    @Test
    void speaksAndHearsLines() throws IOException {
        Path heard = folder.resolve("heard");
        try (Peer pair = pair("OPEN:" + heard + ",creat,append,ignoreeof")) {
            start(9_600, LineEnd.CR);
            hand.until(() -> rack.isUp(0));
            rack.send(Say.text(0, "CUT {angle}"), Say.with("angle", 2L), 1);
            rack.send(Say.hex(0, "00ff0d0a11137f"), Say.NOTHING, 2);
            hand.until(() -> size(heard) == 13);

            // Nothing is turned into something else on the way: not CR, NUL, the two of XON/XOFF, nor DEL (termios(3),
            // raw mode).
            assertThat(Files.readAllBytes(heard))
                    .isEqualTo(new byte[] {'C', 'U', 'T', ' ', '2', '\r', 0, -1, 13, 10, 17, 19, 127});
            assertThat(told.lines).contains("0 sent 1 CUT 2", "0 sent 2 hex 00 ff 0d 0a 11 13 7f");
            assertThat(pair.isAlive()).isTrue();
        }
        hand.until(() -> told.has("0 LOST"));
        assertThat(told.lines).endsWith("0 LOST the serial line " + device() + " is gone: is its cable in?");
    }

    @Test
    void comesBackWithItsCable() throws IOException {
        try (Peer pair = pair("PTY,raw,echo=0,link=" + folder.resolve("far"))) {
            start(115_200, LineEnd.CRLF);
            hand.until(() -> rack.isUp(0));
            Files.writeString(folder.resolve("far"), "READY\r\nONAIR 2\r\n", StandardOpenOption.WRITE);
            hand.until(() -> told.has("0 reply -1 ONAIR 2"));
            assertThat(pair.isAlive()).isTrue();
        }
        hand.until(() -> told.has("0 LOST"));
        rack.send(Say.text(0, "CUT 1"), Say.NOTHING, 1);
        hand.pass(Say.STALE_MILLIS);
        assertThat(told.lines).anyMatch(line -> line.startsWith("0 missed 1 CUT 1: "));

        try (Peer pair = pair("PTY,raw,echo=0,link=" + folder.resolve("far"))) {
            hand.passUntil(10_000, () -> rack.isUp(0));
            assertThat(pair.isAlive()).isTrue();
        }
    }

    /** At 1200 baud a byte takes 8.3 ms: what waits is not in the kernel's hands, where it could not be called back. */
    @Test
    void dropsWhatASlowLineCannotCarryInTime() throws IOException {
        Path heard = folder.resolve("heard");
        try (Peer pair = pair("OPEN:" + heard + ",creat,append,ignoreeof")) {
            start(1_200, LineEnd.CR);
            hand.until(() -> rack.isUp(0));
            for (int i = 1; i <= 9; i++) {
                rack.send(Say.text(0, "CUT 00000" + i), Say.NOTHING, i); // 11 bytes, 92 ms
            }
            hand.pass(2_000);

            assertThat(told.count("0 sent")).isEqualTo(4);
            assertThat(told.count("0 missed")).isEqualTo(5);
            assertThat(told.lines)
                    .contains("0 missed 9 CUT 000009: the bytes before it have not gone out")
                    .doesNotContain("0 sent 5 CUT 000005");
            hand.until(() -> size(heard) == 44);
            assertThat(pair.isAlive()).isTrue();
        }
    }

    @Test
    void saysWhatIsWrongWithTheLine() throws IOException {
        start(9_600, LineEnd.CR);
        hand.until(() -> told.has("0 LOST"));
        assertThat(told.lines).containsExactly("0 LOST there is no serial line " + device() + ": is its cable in?");
        rack.close();
        told.lines.clear();

        Files.write(device(), "x".getBytes(StandardCharsets.US_ASCII));
        start(9_600, LineEnd.CR);
        hand.until(() -> told.has("0 LOST"));
        assertThat(told.lines).containsExactly("0 LOST " + device() + " is no serial line");
    }

    private Peer pair(String far) throws IOException {
        Peer.needs(SOCAT, "socat");
        Peer pair = Peer.start(SOCAT, "-d", "-d", "PTY,raw,echo=0,link=" + device(), far);
        // The line is there before its other end is.
        hand.until(() -> pair.printedAny("starting data transfer loop"));
        return pair;
    }

    private void start(int baud, LineEnd end) {
        SerialLine line = new SerialLine(baud, 8, SerialLine.Parity.NONE, 1);
        rack = new Rack(hand.loop, List.of(new GearSettings.Serial("mixer", device(), line, end, Say.stale())), told);
        rack.start();
    }

    private Path device() {
        return folder.resolve("line");
    }

    private static long size(Path file) {
        try {
            return Files.exists(file) ? Files.size(file) : 0;
        } catch (IOException e) {
            throw new java.io.UncheckedIOException(e);
        }
    }
}
