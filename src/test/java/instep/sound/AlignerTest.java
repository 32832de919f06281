package instep.sound;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import instep.sound.Room.Recorder;
import java.io.IOException;
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
