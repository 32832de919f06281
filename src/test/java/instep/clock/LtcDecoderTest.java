package instep.clock;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import java.util.stream.LongStream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Against libltc 1.3.2 (Debian: libltc-dev), in both directions. */
class LtcDecoderTest {
    private static final int FRAMES = 60;
    private static final Map<String, double[]> CLEAN = new HashMap<>();

    @TempDir
    private static Path folder;

    private static LibLtc lib;

    @BeforeAll
    static void compile() throws IOException, InterruptedException {
        lib = LibLtc.compile(folder);
    }

    private record Read(Timecode label, double start, double end, boolean backwards) {}

    private static List<Read> decode(FrameRate rate, double sampleRate, double wordRate, double[] signal) {
        List<Read> read = new ArrayList<>();
        LtcDecoder decoder = new LtcDecoder(
                sampleRate,
                wordRate,
                (word, start, end, backwards) ->
                        word.label(rate).ifPresent(label -> read.add(new Read(label, start, end, backwards))));
        for (double sample : signal) {
            decoder.accept(sample);
        }
        return read;
    }

    private static double wordRate(FrameRate rate) {
        double fps = (double) rate.numerator() / rate.denominator();
        return rate.counted() > 30 ? fps / 2 : fps;
    }

    private static List<Timecode> labels(Timecode from, int count) {
        return LongStream.range(0, count).mapToObj(from::plus).toList();
    }

    /** Every word, and where each begins: to the sample, for as libltc says where it put them. */
    @ParameterizedTest
    @CsvSource({
        "24, 24, 44100", "24, 24, 48000", "24, 24, 88200", "24, 24, 96000",
        "25, 25, 44100", "25, 25, 48000", "25, 25, 88200", "25, 25, 96000",
        "29.97-drop, 29.97, 44100", "29.97-drop, 29.97, 48000", "29.97-drop, 29.97, 88200", "29.97-drop, 29.97, 96000",
        "30, 30, 44100", "30, 30, 48000", "30, 30, 88200", "30, 30, 96000"
    })
    void readsEveryFrameOfTheReferenceEncoder(String rateName, String fps, int sampleRate) throws IOException {
        FrameRate rate = FrameRate.named(rateName).orElseThrow();
        Timecode from = Timecode.parse(rate.isDropFrame() ? "00:00:59;10" : "00:00:59:10", rate);
        double[] signal = lib.encode(fps, sampleRate, from.toString(), FRAMES, rate.isDropFrame());
        List<Read> read = decode(rate, sampleRate, wordRate(rate), signal);
        assertThat(read).extracting(Read::label).containsExactlyElementsOf(labels(from, FRAMES));
        double samples = sampleRate / wordRate(rate);
        for (int i = 0; i < FRAMES; i++) {
            assertThat(read.get(i).start()).isCloseTo(i * samples, within(3.0));
            assertThat(read.get(i).end()).isCloseTo((i + 1) * samples, within(3.0));
            assertThat(read.get(i).backwards()).isFalse();
        }
    }

    /** All that can happen to a signal, each value together with each other at least once. */
    static List<Suffering> somePairs() {
        return Suffering.pairs(9);
    }

    /** And all of it with all of it. */
    static List<Suffering> allTogether() {
        return Suffering.all();
    }

    @ParameterizedTest
    @MethodSource("somePairs")
    void readsASignalThatHasSuffered(Suffering how) throws IOException {
        suffers(how);
    }

    @Tag("lab")
    @ParameterizedTest
    @MethodSource("allTogether")
    void readsASignalThatHasSufferedInAnyWay(Suffering how) throws IOException {
        suffers(how);
    }

    /** All but the first word, which a loud noise at the very beginning may cost. */
    private static void suffers(Suffering how) throws IOException {
        FrameRate rate = FrameRate.named(how.rate()).orElseThrow();
        Timecode from = Timecode.parse(rate.isDropFrame() ? "09:59:58;20" : "09:59:58:20", rate);
        String fps = how.rate().replace("-drop", "");
        String clean = fps + " " + how.sampleRate();
        if (!CLEAN.containsKey(clean)) {
            CLEAN.put(clean, lib.encode(fps, how.sampleRate(), from.toString(), FRAMES, rate.isDropFrame()));
        }
        double[] signal = how.of(CLEAN.get(clean));
        List<Read> read = decode(rate, how.sampleRate(), wordRate(rate), signal);
        List<Timecode> labels = new ArrayList<>(labels(from.plus(1), FRAMES - 2));
        if (how.isBackwards()) {
            Collections.reverse(labels);
        }
        assertThat(read).extracting(Read::label).containsSequence(labels);
        assertThat(read).allMatch(word -> word.backwards() == how.isBackwards());
    }

    @Test
    void coversEachPairOfValues() {
        List<Suffering> pairs = Suffering.pairs(9);
        assertThat(pairs).hasSizeLessThan(60);
        assertThat(Suffering.uncovered(pairs)).isEmpty();
    }

    /** After a drop-out, the first whole word is read again. */
    @Test
    void goesOnAfterADropOut() {
        FrameRate rate = FrameRate.R25;
        Timecode from = Timecode.parse("10:00:00:00", rate);
        double[] signal = LtcSignal.encode(from, FRAMES, 48_000, 25);
        java.util.Arrays.fill(signal, 20 * 1920 + 700, 24 * 1920 + 900, 0);
        List<Timecode> read =
                decode(rate, 48_000, 25, signal).stream().map(Read::label).toList();
        assertThat(read).containsAll(labels(from, 20)).containsAll(labels(from.plus(25), FRAMES - 25));
        assertThat(read).doesNotContainAnyElementsOf(labels(from.plus(20), 5));
    }

    /** Above 30 frames a word covers two of them (ST 12-1:2014, section 12). */
    @ParameterizedTest
    @ValueSource(strings = {"48", "50", "59.94-drop", "60"})
    void countsPairsOfFramesAboveThirty(String rateName) {
        FrameRate rate = FrameRate.named(rateName).orElseThrow();
        Timecode from = Timecode.parse(rate.isDropFrame() ? "00:00:59;50" : "00:00:59:40", rate);
        double[] signal = LtcSignal.encode(from, FRAMES, 48_000, wordRate(rate));
        assertThat(decode(rate, 48_000, wordRate(rate), signal))
                .extracting(Read::label)
                .containsExactlyElementsOf(IntStream.range(0, FRAMES)
                        .mapToObj(i -> from.plus(2L * i))
                        .toList());
    }

    /** The other way round: the reference reads our signal, so that it is a fair one. */
    @ParameterizedTest
    @CsvSource({"24, 24", "25, 25", "29.97-drop, 29.97", "30, 30"})
    void theReferenceReadsOurSignal(String rateName, String fps) throws IOException {
        FrameRate rate = FrameRate.named(rateName).orElseThrow();
        Timecode from = Timecode.parse(rate.isDropFrame() ? "00:00:59;10" : "00:00:59:10", rate);
        double[] signal = LtcSignal.encode(from, FRAMES, 48_000, wordRate(rate));
        assertThat(lib.decode(fps, 48_000, signal))
                .containsSequence(labels(from.plus(1), FRAMES - 2).stream()
                        .map(Timecode::toString)
                        .toList());
    }

    /** Words as libltc 1.3.2 writes them, bit 0 of the first byte sent first. */
    @ParameterizedTest
    @CsvSource({
        "00:00:00:00, 24, 0000000800000000",
        "01:00:00:00, 25, 0000000000000100",
        "01:00:00:01, 25, 0100000000000108",
        "01:00:01:24, 25, 0402010000000108",
        "00:00:59;20, 29.97-drop, 0006090d00000000",
        "00:00:59;29, 29.97-drop, 0906090d00000000",
        "00:01:00;02, 29.97-drop, 0204000001000000",
        "12:34:56:07, 30, 0700060d04030201"
    })
    void laysOutTheBitsOfAWord(String label, String rateName, String hex) {
        FrameRate rate = FrameRate.named(rateName).orElseThrow();
        byte[] bytes = HexFormat.of().parseHex(hex);
        long bits = 0;
        for (int i = 7; i >= 0; i--) {
            bits = bits << 8 | (bytes[i] & 255);
        }
        assertThat(new LtcWord(bits).label(rate)).contains(Timecode.parse(label, rate));
        assertThat(LtcSignal.word(Timecode.parse(label, rate))).isEqualTo(bits);
    }

    @Test
    void refusesWordsThatAreNoLabel() {
        assertThat(new LtcWord(0xFL).label(FrameRate.R25)).isEmpty();
        assertThat(new LtcWord(0x0205L).label(FrameRate.R25)).isEmpty();
        assertThat(new LtcWord(1L << 32 | 1L << 10).label(FrameRate.R29_97_DROP))
                .isEmpty();
        assertThat(new LtcWord(1L << 10).label(FrameRate.R30)).isEmpty();
        assertThat(new LtcWord(-1L).userBits()).isEqualTo(-1);
    }
}
