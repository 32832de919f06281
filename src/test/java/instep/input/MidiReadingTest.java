package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gesture.Threshold;
import instep.input.PedalSettings.MidiContact;
import instep.input.PedalSettings.MidiSignal;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;

class MidiReadingTest {
    private static final List<MidiContact> CONTACTS = List.of(
            new MidiContact(0, MidiSignal.NOTE, 1, 60, Threshold.DEFAULT, null),
            new MidiContact(1, MidiSignal.CONTROLLER, PedalSettings.ANY_CHANNEL, 64, Threshold.DEFAULT, null),
            new MidiContact(2, MidiSignal.PROGRAM, 2, 5, Threshold.DEFAULT, null));

    private final Recorder told = new Recorder();
    private final Deque<Runnable> timers = new ArrayDeque<>();
    private long now;
    private final MidiReading reading =
            new MidiReading(new MidiContacts(CONTACTS, told), false, (nanos, task) -> timers.add(task), () -> now);

    private void send(String hex) {
        byte[] bytes = HexFormat.ofDelimiter(" ").parseHex(hex);
        reading.buffer().duplicate().put(bytes);
        reading.received(bytes.length);
    }

    @Test
    void closesAndOpensByNoteOnItsChannel() throws Exception {
        now = 7;
        send("91 3c 40 90 3c 40");
        told.expect("edge 0 closed");
        assertThat(told.nanos).isEqualTo(7);
        send("81 3c 40 90 3c 00");
        told.expect("edge 0 open");
        told.expectNothingMore();
    }

    @Test
    void closesAControllerBeyondItsThreshold() throws Exception {
        send("b5 40 40 b5 40 7f 40 40 40 00");
        told.expect("edge 1 closed", "edge 1 open");
        told.expectNothingMore();
    }

    @Test
    void makesAStepOfAProgram() throws Exception {
        send("c1 05 05 06 c0 05");
        told.expect("edge 2 closed", "edge 2 open", "edge 2 closed", "edge 2 open");
        told.expectNothingMore();
    }

    /** MIDI 1.0, Channel Mode Messages: 123 is All Notes Off. */
    @Test
    void opensNotesAtAllNotesOff() throws Exception {
        send("90 3c 40 b0 40 7f b1 7b 00 b0 7b 00");
        told.expect("edge 0 closed", "edge 1 closed", "edge 0 open");
        told.expectNothingMore();
    }

    /** MIDI 1.0, System Real Time Messages, Active Sensing: 300 ms at most, once it was sent. */
    @Test
    void opensWhatIsClosedWhenActiveSensingFallsSilent() throws Exception {
        send("90 3c 40 fe");
        now = MidiReading.SILENCE_NANOS - 1;
        send("f8");
        now++;
        timers.remove().run();
        told.expect("edge 0 closed");
        told.expectNothingMore();
        now = 2 * MidiReading.SILENCE_NANOS;
        timers.remove().run();
        told.expect("edge 0 lost");
        assertThat(timers).isEmpty();
    }

    @Test
    void waitsForeverForADeviceWithoutActiveSensing() {
        send("90 3c 40");
        assertThat(timers).isEmpty();
    }

    @Test
    void saysNothingAfterItHasEnded() throws Exception {
        send("90 3c 40 fe");
        told.expect("edge 0 closed");
        reading.ended();
        now = MidiReading.SILENCE_NANOS;
        timers.remove().run();
        told.expectNothingMore();
    }

    /** struct snd_rawmidi_framing_tstamp of sound/asound.h (Linux 5.14 and newer). */
    private static byte[] frame(int type, long nanos, String hex) {
        byte[] data = HexFormat.ofDelimiter(" ").parseHex(hex);
        return ByteBuffer.allocate(32)
                .order(ByteOrder.nativeOrder())
                .put((byte) type)
                .put((byte) data.length)
                .putShort((short) 0)
                .putInt((int) (nanos % 1_000_000_000L))
                .putLong(nanos / 1_000_000_000L)
                .put(data)
                .array();
    }

    private static void sendFrames(MidiReading to, byte[]... frames) {
        ByteBuffer buffer = to.buffer().duplicate();
        for (byte[] frame : frames) {
            buffer.put(frame);
        }
        to.received(32 * frames.length);
    }

    @Test
    void takesTheKernelsTimeOfEachFrameAndSkipsOtherTypes() throws Exception {
        MidiReading stamped =
                new MidiReading(new MidiContacts(CONTACTS, told), true, (nanos, task) -> timers.add(task), () -> now);
        sendFrames(stamped, frame(0, 4_000_000_005L, "90 3c"), frame(1, 5, "90 3c 00"), frame(0, 4_000_000_006L, "40"));
        told.expect("edge 0 closed");
        assertThat(told.nanos).isEqualTo(4_000_000_006L);
        sendFrames(stamped, frame(0, 5_999_999_999L, "3c 00 fe"));
        told.expect("edge 0 open");
        assertThat(told.nanos).isEqualTo(5_999_999_999L);
        told.expectNothingMore();
    }

    @Test
    void countsTheSilenceOfActiveSensingFromTheKernelsTime() throws Exception {
        MidiReading stamped =
                new MidiReading(new MidiContacts(CONTACTS, told), true, (nanos, task) -> timers.add(task), () -> now);
        sendFrames(stamped, frame(0, 1_000, "90 3c 40 fe"));
        told.expect("edge 0 closed");
        now = 1_000 + MidiReading.SILENCE_NANOS - 1;
        timers.remove().run();
        told.expectNothingMore();
        now++;
        timers.remove().run();
        told.expect("edge 0 lost");
    }
}
