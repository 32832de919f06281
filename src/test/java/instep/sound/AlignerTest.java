package instep.sound;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import instep.sound.Room.Recorder;
import java.io.IOException;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Recorders whose places are known, since the test has put them there. */
class AlignerTest {
    private static final Recorder REFERENCE = new Recorder(5, 90, 0, 1, 0.002, 11);

    private static Alignment place(Room room, Recorder reference, Recorder other) throws IOException {
        return new Aligner(Room.heard(room.recorded(reference))).place(Room.heard(room.recorded(other)));
    }

    @ParameterizedTest
    @CsvSource({
        // began, seconds, drift ppm, gain, noise
        "7.123456, 80, 0, 1, 0",
        "0.75, 60, 0, 0.05, 0.0005",
        "5, 90, 50, -1, 0.002",
        "12.00003, 70, -50, 0.3, 0.01",
        "40.5, 55, 12, 3, 0.05",
        "60, 12, 0, 1, 0.002"
    })
    void findsWhereARecorderBeganAndHowItsClockRuns(
            double began, double seconds, double drift, double gain, double noise) throws IOException {
        Room room = new Room(20260302, 120);
        Alignment found = place(room, REFERENCE, new Recorder(began, seconds, drift, gain, noise, 23));
        assertThat(found.confidence()).isGreaterThan(0.3);
        // Echoes of the two walls differ, so the place is one of a room, not of a sample; a frame is 16 ms at the
        // least.
        assertThat(found.offset()).isCloseTo(began - REFERENCE.start(), within(0.0005));
        if (seconds > 30) {
            assertThat(found.drift().orElseThrow()).isCloseTo(drift, within(5.0));
        } else {
            assertThat(found.drift()).isEmpty();
        }
    }

    @Test
    void isSureOfNothingWhereSoundsHaveNothingInCommon() throws IOException {
        Heard one = Room.heard(new Room(1, 60).recorded(new Recorder(0, 60, 0, 1, 0.002, 1)));
        Heard other = Room.heard(new Room(2, 60).recorded(new Recorder(0, 60, 0, 1, 0.002, 2)));
        assertThat(new Aligner(one).place(other).confidence()).isLessThan(0.15);
    }

    @Tag("lab")
    @Test
    void isSureOfNothingWhereOnlyAHumIsHeard() throws IOException {
        float[] one = new float[Heard.RATE * 40];
        float[] other = new float[Heard.RATE * 40];
        for (double pitch = 50; pitch < 3_000; pitch += 50) {
            Room.tone(one, 0, 40, pitch, -60);
            Room.tone(other, 0, 40, pitch, -60);
        }
        assertThat(new Aligner(Room.heard(one)).place(Room.heard(other)).confidence())
                .isLessThan(0.3);
    }

    /** Two rooms on one mains: the hum is the same, what is said is not. Tones at 50 Hz and its multiples, as far as they may be heard. */
    @Tag("lab")
    @ParameterizedTest
    @CsvSource({
        // pitch, highest, level, noise, seconds
        "50, 60, -20, 0.002, 30",
        "60, 600, -30, 0.002, 30",
        "440, 441, -12, 0.0005, 30",
        "50, 1000, -40, 0.002, 10"
    })
    void isSureOfNothingWhereTwoRoomsHaveNothingButTonesInCommon(
            double pitch, double highest, double level, double noise, double seconds) throws IOException {
        for (boolean spoken : new boolean[] {true, false}) {
            double gain = spoken ? 1 : 0;
            float[] one = new Room(31, 70).recorded(new Recorder(3, seconds, 0, gain, noise, 5));
            float[] other = new Room(32, 70).recorded(new Recorder(1, seconds, 0, gain, noise, 6));
            for (double tone = pitch; tone <= highest; tone += pitch) {
                Room.tone(one, 0, seconds, tone, level);
                Room.tone(other, 0, seconds, tone, level);
            }
            double confidence =
                    new Aligner(Room.heard(one)).place(Room.heard(other)).confidence();
            assertThat(confidence).isLessThan(0.2);
        }
    }

    /** Fans, pumps and transformers: no pitch is a multiple of another, so that together they fit in one place only. */
    @Tag("lab")
    @Test
    void isSureOfNothingWhereTwoRoomsHaveManyMachinesInCommon() throws IOException {
        float[] one = new Room(31, 70).recorded(new Recorder(3, 20, 0, 0.2, 0.002, 5));
        float[] other = new Room(32, 70).recorded(new Recorder(1, 20, 0, 0.2, 0.002, 6));
        for (double tone = 103; tone < 3_500; tone *= 1.0937) {
            Room.tone(one, 0, 20, tone, -40);
            Room.tone(other, 0, 20, tone, -40);
        }
        assertThat(new Aligner(Room.heard(one)).place(Room.heard(other)).confidence())
                .isLessThan(0.2);
    }

    /**
     * The same in recordings so short that there is but one piece, or a few: nothing tells a second place. With the tones left in, the first is sure to 25 % in a wrong place; with pieces that end abruptly,
     * so that tones sound at all pitches, the others are to 60 % and more.
     */
    @ParameterizedTest
    @CsvSource({
        // step between pitches, level, gain of what is said, noise, seconds
        "1.0937, -20, 0, 0.0005, 6",
        "1.0311, -30, 0, 0.0005, 6",
        "1.0311, -30, 0.2, 0.002, 3.5"
    })
    void isSureOfNothingWhereShortRecordingsHaveMachinesInCommon(
            double step, double level, double gain, double noise, double seconds) throws IOException {
        float[] one = new Room(31, 70).recorded(new Recorder(3, seconds, 0, gain, noise, 5));
        float[] other = new Room(32, 70).recorded(new Recorder(1, seconds, 0, gain, noise, 6));
        for (double tone = 103; tone < 3_500; tone *= step) {
            Room.tone(one, 0, seconds, tone, level);
            Room.tone(other, 0, seconds, tone, level);
        }
        assertThat(new Aligner(Room.heard(one)).place(Room.heard(other)).confidence())
                .isLessThan(0.2);
    }

    /** What is said is far below the hum, and once below the noise of the recorders, too. */
    @Tag("lab")
    @ParameterizedTest
    @CsvSource({"0.1, -20, 0.005", "0.3, -20, 0.03"})
    void findsTheCommonSoundUnderAHum(double gain, double level, double noise) throws IOException {
        Room room = new Room(33, 120);
        float[] one = room.recorded(new Recorder(5, 50, 0, gain, noise, 7));
        float[] other = room.recorded(new Recorder(12.5, 40, 20, gain, noise, 8));
        for (double tone = 50; tone <= 500; tone += 50) {
            Room.tone(one, 0, 50, tone, level - 12 * (tone / 1_000));
            Room.tone(other, 0, 40, tone, level - 12 * (tone / 1_000));
        }
        Alignment found = new Aligner(Room.heard(one)).place(Room.heard(other));
        assertThat(found.confidence()).isGreaterThan(0.3);
        assertThat(found.offset()).isCloseTo(7.5, within(0.0005));
    }

    /** A sound that comes each second, or each third of one, fits in many places. */
    @Tag("lab")
    @ParameterizedTest
    @CsvSource({"1", "0.3333"})
    void isSureOfNothingWhereASoundComesAgainAndAgain(double period) throws IOException {
        float[] one = new Room(34, 70).recorded(new Recorder(3, 40, 0, 0.1, 0.002, 5));
        float[] other = new Room(35, 70).recorded(new Recorder(1, 40, 0, 0.1, 0.002, 6));
        float[] tick = new Room(36, 1).recorded(new Recorder(0.2, 0.05));
        for (double at = 0.5; at < 39; at += period) {
            for (int i = 0; i < tick.length; i++) {
                one[(int) (at * Heard.RATE) + i] += 3 * tick[i];
                other[(int) ((at + 0.13) * Heard.RATE) + i] += 3 * tick[i];
            }
        }
        double confidence =
                new Aligner(Room.heard(one)).place(Room.heard(other)).confidence();
        assertThat(confidence).isLessThan(0.3);
    }

    @Test
    void isSureOfNothingInSilence() throws IOException {
        Heard silent = Room.heard(new float[Heard.RATE * 10]);
        Heard speech = Room.heard(new Room(1, 10).recorded(new Recorder(0, 10)));
        assertThat(new Aligner(speech).place(silent).confidence()).isZero();
        assertThat(new Aligner(silent).place(speech).confidence()).isZero();
        assertThat(new Aligner(speech).place(Room.heard(new float[0])).confidence())
                .isZero();
    }

    @Test
    void aSoundLiesUponItself() throws IOException {
        float[] samples = new Room(4, 30).recorded(new Recorder(0, 30));
        Alignment found = new Aligner(Room.heard(samples)).place(Room.heard(samples));
        assertThat(found.offset()).isCloseTo(0, within(1e-4));
        assertThat(found.confidence()).isGreaterThan(0.8);
    }
}
