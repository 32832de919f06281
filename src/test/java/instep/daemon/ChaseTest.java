package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.clock.LtcSignal;
import instep.clock.PcmFormat;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.input.Performance;
import instep.journal.Audit;
import instep.journal.Entry;
import instep.journal.JournalScan;
import instep.journal.Key;
import instep.journal.Kind;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A running daemon hears linear timecode through a named pipe, as a sound card's recorder would write it. */
class ChaseTest {
    /** Where a frame begins is known that well on a busy machine. */
    private static final long SLACK_NANOS = 15_000_000L;

    private static final PcmFormat FORMAT = new PcmFormat(48_000, 16, 1, 1);
    private static final int PIECE_BYTES = 960;
    private static final long PIECE_NANOS = 10_000_000L;

    @TempDir
    private Path folder = Path.of("");

    private Path pipe = Path.of("");

    @BeforeEach
    void namePipe() {
        pipe = folder.resolve("ltc.pcm");
    }

    private RunFolder run() {
        return new RunFolder(folder);
    }

    private Settings settings(String rate) throws Exception {
        return settings(rate, "300ms");
    }

    private Settings settings(String rate, String freewheel) throws Exception {
        return ConfigReader.parse("ltc.yaml", """
                instep: 1
                timecode: { rate: %s, source: ltc, pcm: %s, freewheel: %s }
                gear: { lamp: { osc: "udp 127.0.0.1:9" } }
                angles: { wide: { reel: A, cut: { lamp: { osc: /wide } } }, wheel: { reel: B, cut: { lamp: { osc: /wheel } } } }
                pedals:
                  floor: { match: { usb: "1209:2303" }, contacts: { left: { key: KEY_A } } }
                machine:
                  states:
                    waiting:
                      on: { timecode.locked: rolling }
                    rolling:
                      rolling: true
                      angle: wide
                      on:
                        left.press: { angle: wheel, until: left.release }
                        timecode.freewheeling: { mark: bridged }
                        timecode.jumped: { mark: jumped }
                        timecode.lost: waiting
                """.formatted(rate, pipe, freewheel));
    }

    /** Writes a signal into the pipe at its own speed. */
    private static final class Card {
        private final ScheduledExecutorService clock = Executors.newSingleThreadScheduledExecutor();
        private final OutputStream to;
        private final byte[] sound;
        private final long began;
        private final Future<?> ticking;
        private int written;

        Card(Path pipe, Timecode from, int words, double wordRate) throws IOException {
            sound = LtcSignal.pcm(LtcSignal.encode(from, words, FORMAT.sampleRate(), wordRate), FORMAT);
            to = new FileOutputStream(pipe.toFile());
            began = System.nanoTime();
            ticking = clock.scheduleAtFixedRate(this::write, PIECE_NANOS, PIECE_NANOS, TimeUnit.NANOSECONDS);
        }

        /** All that has been played since. */
        private void write() {
            long due = (System.nanoTime() - began) / PIECE_NANOS * PIECE_BYTES;
            int until = (int) Math.min(sound.length, due);
            try {
                to.write(sound, written, until - written);
                written = until;
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }

        /** Which frame it was on. */
        long frameAt(Timecode from, long nanos) {
            return from.frame() + from.rate().frameAt(nanos - began);
        }

        void stop() throws IOException {
            ticking.cancel(false);
            clock.shutdownNow();
            to.close();
        }
    }

    /** Presses through a take: each cut's label is the one that the tape had then. Lost, found again and elsewhere, all of it is told. */
    @ParameterizedTest
    @CsvSource({"25, 23:59:58:00, 25"})
    void labelsCutsAsTheTapeDoes(String name, String label, double wordRate) throws Exception {
        FrameRate rate = FrameRate.named(name).orElseThrow();
        Timecode from = Timecode.parse(label, rate);
        Performance edges = Performance.parse("presses", presses());
        Daemon daemon = Daemon.start(settings(name), new Daemon.Options(folder, 1, Optional.of(edges), false));
        Card tape = new Card(pipe, from, 2_000, wordRate);
        run().waitForTimecode("locked");
        daemon.performed().join();
        tape.stop();
        run().waitForTimecode("lost");
        daemon.close("over");
        List<Entry> entries = run().entries();
        assertThat(RunFolder.timecodes(entries)).endsWith("locked", "freewheeling", "lost");
        List<Entry> framed = entries.stream()
                .filter(entry -> entry.kind() == Kind.CUT || entry.kind() == Kind.TAKE_OPEN)
                .toList();
        assertThat(framed).hasSizeGreaterThan(10);
        for (Entry entry : framed) {
            assertThat(entry.number(Key.FRAME).orElseThrow())
                    .as(entry.kind() + " at " + entry.tc())
                    .isBetween(
                            tape.frameAt(from, entry.mono() - SLACK_NANOS),
                            tape.frameAt(from, entry.mono() + SLACK_NANOS));
        }
        assertThat(framed).extracting(Entry::mono).isSorted();
        assertThat(framed)
                .extracting(entry -> entry.number(Key.FRAME).orElseThrow())
                .isSorted();
        isWholeAndHoldsInAReplay();
    }

    @Tag("lab")
    @ParameterizedTest
    @CsvSource({"29.97-drop, 10:09:59;00, 29.97002997", "50, 10:00:00:00, 25"})
    void labelsCutsAsTapesOfOtherRatesDo(String name, String label, double wordRate) throws Exception {
        labelsCutsAsTheTapeDoes(name, label, wordRate);
    }

    private static String presses() {
        StringBuilder presses = new StringBuilder();
        for (int i = 0; i < 8; i++) {
            presses.append(String.format(Locale.ROOT, "%.2f left close%n", 2 + 0.31 * i));
            presses.append(String.format(Locale.ROOT, "%.2f left open%n", 2.13 + 0.31 * i));
        }
        return presses.toString();
    }

    /** Another tape within the take: that is told, and the machine hears of it. */
    @Test
    void tellsOfASilenceThatWasBridgedAndOfAJump() throws Exception {
        Timecode from = Timecode.parse("10:00:00:00", FrameRate.R25);
        Timecode elsewhere = Timecode.parse("11:00:00:00", FrameRate.R25);
        Daemon daemon = Daemon.start(
                settings("25", "60s"),
                new Daemon.Options(folder, 1, Optional.of(Performance.parse("one", "0.1 left close\n")), false));
        Card tape = new Card(pipe, from, 2_000, 25);
        run().waitForTimecode("locked");
        tape.stop();
        run().waitForTimecode("freewheeling");
        Card other = new Card(pipe, elsewhere, 2_000, 25);
        run().waitForTimecode("jumped");
        other.stop();
        daemon.close("over");
        List<Entry> entries = run().entries();
        assertThat(RunFolder.timecodes(entries)).containsSequence("locked", "freewheeling", "jumped");
        assertThat(entries.stream().filter(entry -> entry.kind() == Kind.MARK))
                .extracting(entry -> entry.text(Key.MARK).orElse(""))
                .startsWith("bridged", "jumped");
        Entry jump = entries.stream()
                .filter(entry -> entry.text(Key.STATE).equals(Optional.of("jumped")))
                .findFirst()
                .orElseThrow();
        assertThat(jump.tc()).startsWith("11:00:0");
        assertThat(run().log())
                .contains("!! SYNC    no ltc: timecode goes on by itself for now")
                .contains("source ltc, which has jumped");
        isWholeAndHoldsInAReplay();
    }

    @Test
    void saysThatATakeHasNoTimecodeFromOutside() throws Exception {
        Settings settings = ConfigReader.parse(
                "ltc.yaml", settings("25").text().replace("timecode.locked: rolling", "left.press: rolling"));
        Performance edges = Performance.parse("one", "0.1 left close\n0.2 left open\n");
        try (Daemon daemon = Daemon.start(settings, new Daemon.Options(folder, 1, Optional.of(edges), false))) {
            daemon.performed().join();
            run().waitForTimecode("lost");
        }
        assertThat(run().log())
                .contains("!! SYNC    no timecode has come in: it is the time of day until some does")
                .contains("take 1   !! FAULT   no timecode has come in (ltc): this take has the time of day");
        isWholeAndHoldsInAReplay();
    }

    private void isWholeAndHoldsInAReplay() throws Exception {
        List<String> faults = new ArrayList<>();
        JournalScan.of(folder, new Audit(faults::add));
        assertThat(faults).isEmpty();
        run().holdsInAReplay();
    }
}
