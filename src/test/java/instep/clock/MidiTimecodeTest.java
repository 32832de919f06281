package instep.clock;

import static org.assertj.core.api.Assertions.assertThat;

import instep.clock.Chase.News;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * What is told of MIDI timecode. The layout, the order of the pieces, which frame a label is that of, and the worked example are those of MIDI Time Code and Cueing, Detailed Specification (supplement to
 * MIDI 1.0, 12 February 1987; today RP-004 and RP-008 of the MIDI Association): quarter-frame messages, full messages.
 */
class MidiTimecodeTest {
    private static final long SECOND = 1_000_000_000L;
    private static final FrameRate R25 = FrameRate.R25;

    private static MidiRig locked(Timecode from) {
        MidiRig rig = new MidiRig(from.rate(), 0, 3);
        rig.play(from, SECOND);
        rig.run(3 * SECOND, false);
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED);
        return rig;
    }

    /** 01:37:52:16 at 30 frames, non-drop, is F1 00, F1 11, F1 24, F1 33, F1 45, F1 52, F1 61, F1 76; it is the label of the frame that the first of them began. */
    @Test
    void readsTheExampleOfTheSpecification() {
        HeardNews heard = new HeardNews();
        Chase chase = new Chase(FrameRate.R30, 2 * SECOND, 0, heard);
        MidiTimecode midi = new MidiTimecode(chase);
        int[][] words = {
            {0x00, 0x11, 0x24, 0x33, 0x45, 0x52, 0x61, 0x76},
            {0x02, 0x11, 0x24, 0x33, 0x45, 0x52, 0x61, 0x76}
        };
        long quarter = 0;
        for (int[] word : words) {
            for (int data : word) {
                assertThat(heard.news).isEmpty();
                midi.quarterFrame(data, SECOND + quarter * SECOND / 120);
                quarter++;
            }
        }
        assertThat(heard.news).containsExactly(News.LOCKED);
        Timecode first = Timecode.parse("01:37:52:16", FrameRate.R30);
        assertThat(heard.line().at(SECOND + SECOND / 60)).isEqualTo(first);
        assertThat(heard.line().nanosAt(first.frame())).isBetween(SECOND - 1_000, SECOND + 1_000);
        // Two frames old by then: the eighth message comes in the second half of the frame after it.
        assertThat(heard.line().at(SECOND + 7 * SECOND / 120 + 1_000)).isEqualTo(first.plus(1));
    }

    /** The four codes of the specification, and the rates that are sent under them. */
    @ParameterizedTest
    @CsvSource({
        "24, 00:00:59:20", "23.976, 10:00:00:00", "25, 23:59:58:00", "29.97-drop, 10:00:58;00",
                "29.97-drop, 10:09:58;01",
        "29.97, 23:59:58:00", "30, 12:34:56:07", "47.952, 10:00:00:00", "48, 23:59:59:00", "50, 10:00:00:48",
        "59.94-drop, 10:00:58;00", "59.94, 10:00:00:00", "60, 23:59:58:58"
    })
    void locksAtEachRateWithinTenFramesWhateverPieceComesFirst(String name, String label) {
        FrameRate rate = FrameRate.named(name).orElseThrow();
        for (int piece = 0; piece < 8; piece++) {
            MidiRig rig = new MidiRig(rate, 0, 7);
            rig.play(Timecode.parse(label, rate), SECOND, piece);
            rig.run(2 * SECOND, true);
            assertThat(rig.heard.news).containsExactly(News.LOCKED);
            assertThat((rig.now() - SECOND) / rig.chase.frameNanos()).isLessThan(10);
            rig.run(20 * SECOND, false);
            assertThat(rig.heard.turns()).containsExactly(News.LOCKED);
            assertThat(rig.verdict().wrong).isZero();
            assertThat(rig.heard.troubles).isEmpty();
        }
    }

    /** Pieces of a label that is not the one before, then a whole one: that alone is not believed. */
    @Test
    void doesNotLockOnPiecesThatDoNotCountOn() {
        HeardNews heard = new HeardNews();
        MidiTimecode midi = new MidiTimecode(new Chase(R25, 2 * SECOND, 0, heard));
        Timecode from = Timecode.parse("10:00:00:00", R25);
        for (int i = 3; i < 16; i++) {
            Timecode label = i < 8 ? from.plus(60 * 25) : from.plus(2);
            midi.quarterFrame(MidiSignal.piece(label, i % 8), SECOND + i * SECOND / 100);
        }
        assertThat(heard.news).isEmpty();
    }

    @Test
    void freewheelsWhenNoMoreComesAndIsLostThen() {
        MidiRig rig = locked(Timecode.parse("10:00:00:00", R25));
        assertThat(rig.stop()).isLessThan(10);
        assertThat(rig.heard.news).last().isEqualTo(News.FREEWHEELING);
        rig.midi().advanceTo(rig.midi().nextDeadline());
        assertThat(rig.heard.news).last().isEqualTo(News.LOST);
        assertThat(rig.midi().nextDeadline()).isEqualTo(Long.MAX_VALUE);
    }

    @Test
    void tellsAJumpFromOneLabelToAnother() {
        MidiRig rig = locked(Timecode.parse("10:00:00:00", R25));
        rig.play(Timecode.parse("11:22:33:04", R25), rig.now());
        rig.run(rig.now() + SECOND, false);
        assertThat(rig.heard.turns()).endsWith(News.JUMPED);
        assertThat(rig.heard.line().at(rig.now()).toString()).startsWith("11:22:34:0");
    }

    /** From piece 7 down to 0: the player runs backwards. */
    @Test
    void saysThatItRunsBackwards() {
        MidiRig rig = locked(Timecode.parse("10:00:00:00", R25));
        long at = rig.now();
        Timecode label = Timecode.parse("10:00:02:00", R25);
        for (int i = 0; i < 24; i++) {
            rig.midi().quarterFrame(MidiSignal.piece(label.plus(-2L * (i / 8)), 7 - i % 8), at + i * SECOND / 100);
        }
        assertThat(rig.heard.troubles).containsExactly("it runs backwards, which is not followed");
        rig.midi().advanceTo(rig.midi().nextDeadline());
        assertThat(rig.heard.turns()).startsWith(News.LOCKED, News.FREEWHEELING);
    }

    /** Messages that go on coming but tell nothing are no timecode. */
    @Test
    void freewheelsWhileItRunsBackwards() {
        MidiRig rig = locked(Timecode.parse("10:00:00:00", R25));
        long at = rig.now();
        Timecode label = Timecode.parse("10:00:02:00", R25);
        for (int i = 0; i < 40; i++) {
            rig.midi().quarterFrame(MidiSignal.piece(label.plus(-2L * (i / 8)), 7 - i % 8), at + i * SECOND / 100);
        }
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED, News.FREEWHEELING);
    }

    /** A full message is sent when the player is moved, and then nothing until it plays (MIDI Time Code, full messages). */
    @Test
    void aFullMessageFromElsewhereMeansThatItDoesNotPlay() {
        MidiRig rig = locked(Timecode.parse("10:00:00:00", R25));
        int[] here = MidiSignal.fields(rig.heard.line().at(rig.now()));
        rig.midi().fullFrame(here[0], here[1], here[2], here[3], rig.now());
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED);
        int[] away = MidiSignal.fields(Timecode.parse("10:20:00:00", R25));
        rig.midi().fullFrame(away[0], away[1], away[2], away[3], rig.now());
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED, News.FREEWHEELING);
        rig.play(Timecode.parse("10:20:00:00", R25), rig.now() + SECOND);
        rig.run(rig.now() + SECOND, false);
        assertThat(rig.heard.turns()).containsExactly(News.LOCKED, News.FREEWHEELING, News.JUMPED);
    }

    @ParameterizedTest
    @CsvSource({
        "24, 25, it counts 24 frames a second",
        "25, 24, it counts 25 frames a second",
        "30, 29.97-drop, it counts 30 frames a second",
        "29.97-drop, 30, it counts 30 drop-frame frames a second",
        "60, 50, it counts 30 frames a second"
    })
    void saysThatTheCodeIsOfAnotherRate(String sent, String configured, String why) {
        MidiRig sender = new MidiRig(FrameRate.named(configured).orElseThrow(), 0, 3);
        FrameRate rate = FrameRate.named(sent).orElseThrow();
        Timecode label = Timecode.wrapped(rate, 900_000);
        for (int i = 0; i < 200; i++) {
            sender.midi().quarterFrame(MidiSignal.piece(label.plus(i / 8 * 2L), i % 8), SECOND + i * SECOND / 100);
        }
        assertThat(sender.heard.troubles).containsExactly(why + ", and the configuration says " + configured);
        assertThat(sender.chase.isLocked()).isFalse();
    }

    /** Bytes get lost on a cable. */
    @Test
    void aMessageThatIsMissingChangesNothing() {
        Timecode from = Timecode.parse("10:00:00:00", R25);
        HeardNews heard = new HeardNews();
        Chase chase = new Chase(R25, 2 * SECOND, 0, heard);
        MidiTimecode midi = new MidiTimecode(chase);
        for (int i = 0; i < 4_000; i++) {
            if (i % 177 != 20) {
                long at = SECOND + i * SECOND / 100;
                midi.advanceTo(Math.min(midi.nextDeadline(), at));
                midi.quarterFrame(MidiSignal.piece(from.plus(i / 8 * 2L), i % 8), at);
            }
        }
        assertThat(heard.turns()).containsExactly(News.LOCKED);
        assertThat(heard.line().at(SECOND + 30 * SECOND + 1_000)).isEqualTo(from.plus(30 * 25));
    }

    @Test
    void takesAnyBytesWithoutAWord() {
        HeardNews heard = new HeardNews();
        Chase chase = new Chase(R25, 2 * SECOND, 0, heard);
        MidiTimecode midi = new MidiTimecode(chase);
        java.util.SplittableRandom random = new java.util.SplittableRandom(5);
        for (int i = 0; i < 100_000; i++) {
            long at = SECOND + i * SECOND / 100;
            if (random.nextInt(20) == 0) {
                midi.fullFrame(random.nextInt(128), random.nextInt(128), random.nextInt(128), random.nextInt(128), at);
            } else {
                midi.quarterFrame(random.nextInt(128), at);
            }
        }
        assertThat(heard.news).isEqualTo(List.of(News.LOST));
    }
}
