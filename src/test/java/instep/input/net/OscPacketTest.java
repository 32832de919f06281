package instep.input.net;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import instep.input.net.OscPacket.Message;
import java.nio.ByteBuffer;
import java.util.HexFormat;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class OscPacketTest {
    /** OSC 1.0, "Examples of OSC messages": {@code /oscillator/4/frequency} with the float 440.0, and {@code /foo} with five arguments. */
    private static final String FREQUENCY =
            "2f6f7363696c6c61746f722f342f6672657175656e637900" + "2c660000" + "43dc0000";

    private static final String FOO = "2f666f6f00000000" + "2c69697366660000" + "000003e8" + "ffffffff"
            + "68656c6c6f000000" + "3f9df3b6" + "40b5b22d";

    private static java.util.List<Message> read(String hex) {
        return OscPacket.read(ByteBuffer.wrap(HexFormat.of().parseHex(hex)));
    }

    @Test
    void readsTheExamplesOfTheStandard() {
        assertThat(read(FREQUENCY)).containsExactly(new Message("/oscillator/4/frequency", 440));
        assertThat(read(FOO)).containsExactly(new Message("/foo", 1000));
    }

    @Test
    void readsMessagesWithoutAnArgument() {
        assertThat(read("2f610000").get(0).value()).isNaN();
        assertThat(read("2f6100002c000000").get(0).value()).isNaN();
        assertThat(read("2f6100002c490000").get(0).value()).isNaN();
    }

    @Test
    void readsTruthAsOneAndFalsehoodAsNothing() {
        assertThat(read("2f6100002c540000")).containsExactly(new Message("/a", 1));
        assertThat(read("2f6100002c460000")).containsExactly(new Message("/a", 0));
        assertThat(read("2f6100002c4e0000")).containsExactly(new Message("/a", 0));
    }

    /** OSC 1.0, "OSC Bundles": {@code #bundle}, a time tag, and each element behind its size. */
    @Test
    void readsBundlesInBundlesInTheirOrder() {
        String inner = "2362756e646c6500" + "0000000000000001" + "00000008" + "2f6200002c540000";
        String outer = "2362756e646c6500" + "e000000000000000" + "00000020" + FREQUENCY + "0000001c" + inner;
        assertThat(read(outer)).containsExactly(new Message("/oscillator/4/frequency", 440), new Message("/b", 1));
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "",
                "2f61",
                "61000000",
                "2f6100002c690000",
                "2f6100002c69000000",
                "2f61000069000000",
                "2f6100002c73000061000000",
                "2f6100002c6600007fc00000",
                "2362756e646c6500",
                "2362756e646c6500000000000000000100000000",
                "2362756e646c65000000000000000001000000102f610000",
                "2362756e646c65000000000000000001fffffffc2f610000",
            })
    void refusesWhatIsNoOsc(String hex) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> read(hex))
                .withMessageMatching("it.*|an element of its.*");
    }

    @Test
    void refusesBundlesThatAreNestedTooDeep() {
        String packet = "2f6100002c540000";
        for (int i = 0; i < 20; i++) {
            packet = "2362756e646c65000000000000000001" + String.format("%08x", packet.length() / 2) + packet;
        }
        String deep = packet;
        assertThatIllegalArgumentException().isThrownBy(() -> read(deep)).withMessageContaining("deep");
    }

    @Test
    void readsOrRefusesWhateverComes() {
        Random random = new Random(3);
        byte[] good = HexFormat.of().parseHex(FOO);
        int refused = 0;
        for (int i = 0; i < 50_000; i++) {
            byte[] bytes = good.clone();
            for (int flips = random.nextInt(4); flips >= 0; flips--) {
                bytes[random.nextInt(bytes.length)] = (byte) random.nextInt();
            }
            try {
                assertThat(OscPacket.read(ByteBuffer.wrap(bytes, 0, random.nextInt(bytes.length + 1))))
                        .isNotEmpty();
            } catch (IllegalArgumentException e) {
                refused++;
            }
        }
        assertThat(refused).isGreaterThan(1_000);
    }
}
