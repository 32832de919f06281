package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;

/** The rules are those of the MIDI 1.0 Detailed Specification (MIDI Manufacturers Association); its headings stand beside. */
class MidiParserTest {
    private final List<String> messages = new ArrayList<>();
    private final MidiParser parser = new MidiParser(new MidiParser.Listener() {
        @Override
        public void message(int status, int first, int second) {
            messages.add(Integer.toHexString(status) + " " + first + " " + second);
        }

        @Override
        public void exclusive(byte[] bytes, int length) {
            messages.add("f0 " + HexFormat.ofDelimiter(" ").formatHex(bytes, 0, length));
        }
    });

    private List<String> parsed(String hex) {
        messages.clear();
        for (byte octet : HexFormat.ofDelimiter(" ").parseHex(hex)) {
            parser.octet(Byte.toUnsignedInt(octet));
        }
        return List.copyOf(messages);
    }

    /** Channel Voice Messages: how many data bytes each has. */
    @Test
    void knowsTheLengthOfEachChannelMessage() {
        assertThat(parsed("82 3c 40 92 3c 64 a2 3c 01 b2 40 7f c2 05 d2 09 e2 00 40"))
                .containsExactly("82 60 64", "92 60 100", "a2 60 1", "b2 64 127", "c2 5 0", "d2 9 0", "e2 0 64");
    }

    /** Data Format, Running Status: the status byte may be left out while it is the same. */
    @Test
    void goesOnWithTheStatusOfTheMessageBefore() {
        assertThat(parsed("90 3c 40 3e 40 c1 01 02")).containsExactly("90 60 64", "90 62 64", "c1 1 0", "c1 2 0");
    }

    /** Channel Voice Messages, Note-Off: a note-on of velocity 0 turns the note off, which keeps running status. */
    @Test
    void takesANoteOnOfNoVelocityForANoteOff() {
        assertThat(parsed("93 3c 40 3c 00 3c 40")).containsExactly("93 60 64", "83 60 0", "93 60 64");
    }

    /** System Real Time Messages: may be sent at any time, also between the bytes of a message. */
    @Test
    void takesRealTimeBytesInTheMiddleOfAMessage() {
        assertThat(parsed("90 f8 3c fe 40 fa 3e 40"))
                .containsExactly("f8 0 0", "fe 0 0", "90 60 64", "fa 0 0", "90 62 64");
    }

    /** System Exclusive Messages: they last up to EOX, real time within them is heard, running status is over after them. */
    @Test
    void takesShortExclusiveMessages() {
        assertThat(parsed("90 3c 40 f0 7d 01 f8 02 f7 3c 40")).containsExactly("90 60 64", "f8 0 0", "f0 7d 01 02");
        assertThat(parsed("f0 7f 7f 01 01 61 25 34 10 f7 f0 f7")).containsExactly("f0 7f 7f 01 01 61 25 34 10", "f0 ");
    }

    @Test
    void skipsLongExclusiveMessages() {
        assertThat(parsed("f0 7d 01 02 03 04 05 06 07 08 f7 90 3c 40")).containsExactly("90 60 64");
    }

    /** System Exclusive Messages: any other status byte ends them, too; what came so far is not whole. */
    @Test
    void endsAnExclusiveMessageAtTheNextStatus() {
        assertThat(parsed("f0 7d 01 90 3c 40 f7")).containsExactly("90 60 64");
    }

    /** Data Format, Running Status: a System Common status clears it. */
    @Test
    void forgetsTheStatusAtASystemCommonMessage() {
        assertThat(parsed("90 3c 40 f3 05 3c 40 f1 10 20 f2 01 02 03 f6 3c"))
                .containsExactly("90 60 64", "f3 5 0", "f1 16 0", "f2 1 2", "f6 0 0");
    }

    /** Data Format, Undefined Status: F4, F5, F9 and FD are ignored. */
    @Test
    void ignoresWhatIsUndefined() {
        assertThat(parsed("90 f9 3c fd 40 f4 3c 40 f5 3c 40")).containsExactly("90 60 64");
    }

    /** Data Format, Status Bytes: a new status is adopted even if the message before it was not completed. */
    @Test
    void dropsAMessageThatWasCutShort() {
        assertThat(parsed("90 3c 80 3e 40")).containsExactly("80 62 64");
    }

    /** Data Format, Data Bytes: without a status they are ignored. */
    @Test
    void ignoresDataWithoutAStatus() {
        assertThat(parsed("3c 40 f7 3c 40")).isEmpty();
    }

    /** System Real Time Messages, System Reset: clears running status. */
    @Test
    void forgetsTheStatusAtAReset() {
        assertThat(parsed("90 3c 40 ff 3c 40")).containsExactly("90 60 64", "ff 0 0");
    }

    @Property
    void makesTheSameOfAStreamHoweverItIsSplit(@ForAll byte[] bytes, @ForAll @Size(max = 8) List<Integer> cuts) {
        List<Integer> lengths = new ArrayList<>(cuts);
        List<String> whole = new ArrayList<>();
        feed(whole, bytes, List.of());
        List<String> split = new ArrayList<>();
        feed(split, bytes, lengths);
        assertThat(split).isEqualTo(whole);
    }

    private static void feed(List<String> out, byte[] bytes, List<Integer> cuts) {
        MidiParser parser = new MidiParser((status, first, second) -> {
            assertThat(status).isBetween(0x80, 0xff);
            assertThat(first).isBetween(0, 127);
            assertThat(second).isBetween(0, 127);
            out.add(status + " " + first + " " + second);
        });
        int from = 0;
        for (int cut : cuts) {
            int to = from + Math.floorMod(cut, bytes.length - from + 1);
            parser.bytes(ByteBuffer.wrap(bytes, from, to - from).slice(), 0, to - from);
            from = to;
        }
        parser.bytes(ByteBuffer.wrap(bytes, from, bytes.length - from).slice(), 0, bytes.length - from);
    }
}
