package instep.clock;

import static org.assertj.core.api.Assertions.assertThat;

import instep.clock.Chase.News;
import instep.time.FrameRate;
import instep.time.Timecode;
import instep.time.TimecodeLine;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What is told of words that stop, jump, run backwards or are of another rate. The words are those of the rig, or a signal that libltc can read (see LtcDecoderTest). */
class ChaseTest {
    private static final long SECOND = 1_000_000_000L;
    private static final FrameRate R25 = FrameRate.R25;

    private static ChaseRig locked(Timecode from) {
        ChaseRig rig = new ChaseRig(from.rate(), 0, 0, 3);
        rig.play(from);
        rig.run(2 * SECOND, false);
        assertThat(rig.news.get(0)).isEqualTo(News.LOCKED);
        return rig;
    }

    private static TimecodeLine line(ChaseRig rig) {
        TimecodeLine line = rig.line;
        assertThat(line).isNotNull();
        return line == null ? new TimecodeLine(R25, 0, 0) : line;
    }

    @Test
    void goesOnByItselfForTheTimeThatWasSetAndIsLostThen() {
        ChaseRig rig = locked(Timecode.parse("10:00:00:00", R25));
        rig.stop();
        long stopped = rig.now();
        TimecodeLine before = line(rig);
        rig.run(stopped + 1_000_000_000L, false);
        assertThat(rig.news).last().isEqualTo(News.FREEWHEELING);
        rig.run(stopped + 5 * SECOND, true);
        assertThat(rig.news).last().isEqualTo(News.LOST);
        assertThat(rig.now() - stopped).isBetween(2 * SECOND, 2 * SECOND + 12 * SECOND / 25);
        assertThat(line(rig)).isEqualTo(before);
        int told = rig.news.size();
        rig.run(stopped + 20 * SECOND, false);
        assertThat(rig.news).hasSize(told);
    }

    @Test
    void saysThatNothingHasEverComeIn() {
        ChaseRig rig = new ChaseRig(R25, 0, 0, 3);
        rig.run(3 * SECOND, false);
        assertThat(rig.news).containsExactly(News.LOST);
        assertThat(rig.line).isNull();
    }

    @Test
    void locksAgainOnWordsThatComeBack() {
        Timecode from = Timecode.parse("10:00:00:00", R25);
        ChaseRig rig = locked(from);
        long gone = rig.now();
        rig.stop();
        rig.run(gone + SECOND, false);
        long back = rig.now();
        rig.play(from.plus(back * 25 / SECOND));
        rig.run(back + SECOND, false);
        assertThat(rig.news.stream().filter(news -> news != News.FOLLOWS))
                .containsExactly(News.LOCKED, News.FREEWHEELING, News.LOCKED);
    }

    /** A cue to elsewhere, with silence between. */
    @ParameterizedTest
    @CsvSource({"25, 10:00:00:00, 12:34:56:07", "29.97-drop, 23:59:50;00, 00:09:59;20", "50, 10:00:00:00, 09:59:59:00"})
    void saysThatTheWordsGoOnElsewhere(String name, String label, String elsewhere) {
        FrameRate rate = FrameRate.named(name).orElseThrow();
        ChaseRig rig = locked(Timecode.parse(label, rate));
        int told = rig.news.size();
        Timecode to = Timecode.parse(elsewhere, rate);
        long cued = rig.now();
        rig.play(to);
        rig.run(cued + SECOND, false);
        assertThat(rig.news.subList(told, rig.news.size()))
                .containsOnlyOnce(News.JUMPED)
                .doesNotContain(News.LOCKED);
        long frames = (long) rig.framesIn(rig.now() - cued);
        assertThat(line(rig).at(rig.now())).isIn(to.plus(frames), to.plus(frames + 1), to.plus(frames - 1));
    }

    @Test
    void countsFramesOnOverMidnight() {
        FrameRate rate = FrameRate.R29_97_DROP;
        ChaseRig rig = locked(Timecode.parse("23:59:59;00", rate));
        rig.run(10 * SECOND, false);
        assertThat(rig.news).doesNotContain(News.JUMPED);
        assertThat(line(rig).frameAt(rig.now())).isGreaterThan(rate.framesPerDay());
        assertThat(line(rig).at(rig.now()).toString()).startsWith("00:00:0");
    }

    /** Jitter and drift move the line, but never a whole frame at once. */
    @Test
    void followsATapeThatIsTooSlow() {
        for (double speed : List.of(-0.1, -0.02, 0.02, 0.1)) {
            ChaseRig rig = new ChaseRig(R25, speed, 0, 5);
            rig.play(Timecode.parse("10:00:00:00", R25));
            rig.run(60 * SECOND, false);
            assertThat(rig.news).containsOnly(News.LOCKED, News.FOLLOWS);
            assertThat(rig.wrongFrames()).isZero();
            assertThat(rig.troubles).singleElement().asString().contains(speed < 0 ? "slowly" : "fast");
        }
    }

    /** The words of one rate in the ears of another: ST 12-1 counts 24, 25 or 30 frames to the second, and flags what drops labels. */
    @ParameterizedTest
    @CsvSource({
        "24, 25, counts 24 words a second; not 25",
        "25, 24, counts more than 24",
        "30, 25, counts more than 25",
        "25, 30, counts 25 words a second; not 30",
        "29.97-drop, 30, is flagged as drop-frame",
        "29.97, 29.97-drop, is not flagged as drop-frame",
        "30, 29.97, too fast for 29.97",
        "24, 23.976, too fast for 23.976",
        "60, 50, counts more than 25"
    })
    void saysThatTheWordsAreOfAnotherRate(String played, String configured, String why) {
        Ears ears = new Ears(FrameRate.named(configured).orElseThrow());
        FrameRate rate = FrameRate.named(played).orElseThrow();
        ears.hear(rate, Timecode.parse(rate.isDropFrame() ? "10:00:00;00" : "10:00:00:00", rate), 600);
        assertThat(ears.troubles).first().asString().contains(why.replace(';', ','));
        assertThat(ears.troubles).hasSizeLessThan(3);
        if (!why.startsWith("too")) {
            assertThat(ears.chase.isLocked()).isFalse();
        }
    }

    @Test
    void doesNotFollowATapeThatRunsBackwards() {
        Ears ears = new Ears(R25);
        for (int i = 100; i > 0; i--) {
            Timecode label = Timecode.wrapped(R25, 90_000 + i);
            long at = (100 - i) * SECOND / 25;
            ears.run.word(new LtcWord(LtcSignal.word(label)), at, at + SECOND / 25, true);
        }
        ears.chase.advanceTo(4 * SECOND);
        assertThat(ears.news).containsExactly(News.LOST);
        assertThat(ears.troubles).containsExactly("it runs backwards, which is not followed");
    }

    /** Bytes in, labels out: 16, 24 and 32 bits, one channel of several, in pieces that cut samples in two. */
    @ParameterizedTest
    @CsvSource({"48000, 16, 1, 1", "44100, 24, 2, 2", "96000, 32, 3, 2", "48000, 24, 1, 1", "88200, 16, 2, 1"})
    void readsTheSoundOfAChannel(int sampleRate, int bits, int channels, int channel) {
        Ears ears = new Ears(R25);
        PcmFormat format = new PcmFormat(sampleRate, bits, channels, channel);
        PcmTimecode pcm = new PcmTimecode(format, ears.chase);
        Timecode from = Timecode.parse("09:59:58:20", R25);
        byte[] sound = LtcSignal.pcm(LtcSignal.encode(from, 50, sampleRate, 25), format);
        int piece = 1_001;
        double nanosPerByte = 1e9 / sampleRate / format.frameBytes();
        for (int i = 0; i < sound.length; i += piece) {
            int length = Math.min(piece, sound.length - i);
            pcm.received(ByteBuffer.wrap(sound, i, length), (long) ((i + length) * nanosPerByte));
        }
        assertThat(ears.news).contains(News.LOCKED).doesNotContain(News.JUMPED, News.FREEWHEELING);
        TimecodeLine line = ears.line;
        assertThat(line).isNotNull();
        if (line != null) {
            for (int frame = 5; frame < 50; frame++) {
                assertThat(line.at(frame * SECOND / 25 + SECOND / 50)).isEqualTo(from.plus(frame));
                assertThat(line.nanosAt(from.frame() + frame) - frame * SECOND / 25)
                        .isBetween(-500_000L, 500_000L);
            }
        }
    }

    @ParameterizedTest
    @ValueSource(booleans = {true, false})
    void noticesThatNothingArrivesAnyMore(boolean isEnd) {
        Ears ears = new Ears(R25);
        PcmFormat format = new PcmFormat(48_000, 16, 1, 1);
        PcmTimecode pcm = new PcmTimecode(format, ears.chase);
        byte[] sound = LtcSignal.pcm(LtcSignal.encode(Timecode.parse("10:00:00:00", R25), 20, 48_000, 25), format);
        for (int i = 0; i + 960 <= sound.length; i += 960) {
            pcm.received(ByteBuffer.wrap(sound, i, 960), i / 960 * 10_000_000L + 10_000_000L);
        }
        assertThat(ears.chase.isLocked()).isTrue();
        long last = sound.length / 960 * 10_000_000L;
        if (isEnd) {
            pcm.ended(last + 1);
        } else {
            assertThat(pcm.nextDeadline() - last).isEqualTo(8 * SECOND / 25);
            pcm.advanceTo(pcm.nextDeadline());
        }
        assertThat(ears.news).last().isEqualTo(News.FREEWHEELING);
    }

    /** Notes what is told. */
    private static final class Ears implements Chase.Listener {
        private final Chase chase;
        private final LtcRun run;
        private final List<News> news = new ArrayList<>();
        private final List<String> troubles = new ArrayList<>();
        private @Nullable TimecodeLine line;

        Ears(FrameRate rate) {
            chase = new Chase(rate, 2 * SECOND, 0, this);
            run = new LtcRun(chase);
        }

        /** Words at their own rate. */
        void hear(FrameRate rate, Timecode from, int words) {
            int step = rate.counted() > 30 ? 2 : 1;
            for (int i = 0; i < words; i++) {
                long begins = rate.nanosAt((long) i * step);
                long ends = rate.nanosAt((long) (i + 1) * step);
                run.word(new LtcWord(LtcSignal.word(from.plus((long) i * step))), begins, ends, false);
                run.heardUntil(ends);
                chase.advanceTo(ends);
            }
        }

        @Override
        public void news(News what, @Nullable TimecodeLine now, Chase.Quality quality) {
            news.add(what);
            line = now;
        }

        @Override
        public void trouble(String sentence) {
            troubles.add(sentence);
        }
    }
}
