package instep.lab;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * Tones on a real kernel, heard at the other end of its looped sound card (snd-aloop): by the usual output, which ALSA mixes, and by one that is called by its name
 * and plays straight into the card: {@code src/test/lab/jobs/sound/pedals}. What is measured is what the kernel passed on, not what the program says.
 */
@Tag("lab")
final class SoundLabIT {
    /** One frame at 24 frames a second. */
    private static final double FRAME_MILLIS = 1_000 / 24.0;
    /** A sine begins and ends with samples that are zero or nearly so. */
    private static final double EDGE_MILLIS = 0.2;

    private static final double DECIBELS = 0.1;
    /** From the peak of a sine down to its root mean square: 20 log √2. */
    private static final double TO_RMS = -3.01;
    /** The card's clock is the kernel's tick, 4 ms in Debian; one is lost where the tone begins, one where listening does. */
    private static final long TICKS_NANOS = 8_000_000;

    private static LabJob job;
    private static List<Heard> speaker = List.of();
    private static List<Heard> phones = List.of();

    @BeforeAll
    static void play() throws Exception {
        job = LabJob.run("sound");
        speaker = Heard.read(job, "speaker", 0).sounds();
        phones = Heard.read(job, "phones", 0).sounds();
    }

    private static List<JournalLine> journal(String kind, String gear) {
        return job.journal().stream()
                .filter(line -> line.is(kind) && line.text("gear").equals(gear))
                .toList();
    }

    @Test
    void nothingIsHeardButWhatWasAskedFor() {
        assertThat(speaker).as(job::story).hasSize(2);
        assertThat(phones).as(job::story).hasSize(3);
    }

    @Test
    void bothSidesHearTheSame() throws Exception {
        for (String output : List.of("speaker", "phones")) {
            assertThat(Heard.read(job, output, 1).isLike(Heard.read(job, output, 0)))
                    .as(output)
                    .isTrue();
        }
    }

    @Test
    void aTwoPopIsOneFrameOfOneKilohertzTwentyDecibelsBelowFullScale() {
        assertThat(List.of(speaker.get(0), speaker.get(1), phones.get(0), phones.get(2)))
                .as(job::story)
                .allSatisfy(pop -> isTone(pop, 1_000, FRAME_MILLIS, -20));
    }

    @Test
    void aToneThatIsLongerThanTheOutputsBufferHasNoGap() {
        isTone(phones.get(1), 440, 1_000, -12);
    }

    private static void isTone(Heard sound, double hertz, double millis, double level) {
        assertThat(sound.hertz()).isCloseTo(hertz, within(hertz / 1_000));
        assertThat(sound.millis()).isCloseTo(millis, within(EDGE_MILLIS));
        assertThat(sound.peak()).isCloseTo(level, within(DECIBELS));
        assertThat(sound.rms()).isCloseTo(level + TO_RMS, within(DECIBELS));
    }

    @Test
    void theJournalSaysWhenTheFirstSampleWentOut() {
        isToldInTime("speaker", speaker);
        isToldInTime("phones", phones);
    }

    private static void isToldInTime(String gear, List<Heard> sounds) {
        List<JournalLine> sent = journal("sent", gear);
        assertThat(sent).as(job::story).hasSameSizeAs(sounds);
        for (int i = 0; i < sounds.size(); i++) {
            assertThat(sent.get(i).number("mono"))
                    .as(job::story)
                    .isCloseTo(sounds.get(i).began(), within(TICKS_NANOS));
        }
    }

    /** A tenth of a second of silence goes before the first tone. */
    @Test
    void theJournalSaysWhichSampleOfTheOutputItWas() {
        for (String gear : List.of("speaker", "phones")) {
            List<JournalLine> replies = journal("reply", gear);
            assertThat(replies)
                    .as(job::story)
                    .allMatch(
                            line -> line.text("text").matches("its first sample was number [0-9]+ at 48000 a second"));
            assertThat(replies.get(0).text("text")).contains(" number 4800 ");
            assertThat(replies.stream()
                            .map(line -> Long.parseLong(line.text("text").replaceAll(".* number ([0-9]+) .*", "$1"))))
                    .as(job::story)
                    .isSorted()
                    .doesNotHaveDuplicates();
        }
    }

    @Test
    void nothingGoesWrong() {
        assertThat(job.lines("errors")).as(job::story).isEmpty();
        assertThat(job.lines("heard-speaker.began")).as(job::story).hasSize(1);
        assertThat(job.lines("heard-phones.began")).as(job::story).hasSize(1);
        assertThat(journal("missed", "speaker")).as(job::story).isEmpty();
        assertThat(journal("missed", "phones")).as(job::story).isEmpty();
        assertThat(job.lines("program-status")).as(job::story).containsExactly("0");
    }
}
