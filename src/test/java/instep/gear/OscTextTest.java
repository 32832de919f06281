package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gear.Payload.Argument;
import instep.machine.Template;
import io.netty.buffer.ByteBufUtil;
import io.netty.buffer.Unpooled;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class OscTextTest {
    /** The two examples of the OSC 1.0 specification ("OSC Message Examples"), and arguments by "OSC Type Tag String". */
    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            2f6f7363696c6c61746f722f342f6672657175656e6379002c66000043dc0000 | /oscillator/4/frequency 440.0
            2f666f6f000000002c69697366660000000003e8ffffffff68656c6c6f0000003f9df3b640b5b22d | /foo 1000 -1 "hello" 1.234 5.678
            2f780000 2c54464e49000000 | /x T F N I
            2f780000 2c625b695d000000 000000030102030000000007 | /x hex 010203 [ 7 ]
            2f780000 | /x
            2f780000 2c710000 | hex 2f7800002c710000
            676574 | hex 676574
            """)
    void readsAsItIsWritten(String hex, String text) {
        assertThat(read(hex)).containsExactly(text);
    }

    /** OSC 1.0, "OSC Bundles"; the bytes were accepted by liblo's oscdump 0.31. */
    @Test
    void tellsTheMessagesOfABundleOneByOne() {
        String bundle = "2362756e646c650000000000000000010000000c2f6100002c69000000000001000000082f6200002c000000";
        assertThat(read(bundle)).containsExactly("/a 1", "/b");

        Wire wire = new OscEncoder().encode(new Payload.OscBundle(List.of(osc("/a", 1), osc("/b")), 0), Say.NOTHING);
        assertThat(ByteBufUtil.hexDump(wire.bytes())).isEqualTo(bundle);
        assertThat(wire.text()).isEqualTo("together: /a 1; /b");
    }

    /** RFC 5905, figure 4: the NTP timestamp of 1 January 1970 is 2,208,988,800 s, that of 31 December 1999 3,155,587,200 s. */
    @Test
    void stampsABundleWithTheTimeAtWhichItIsMeant() {
        assertThat(OscEncoder.timeTag(Instant.EPOCH)).isEqualTo(2_208_988_800L << 32);
        InstantSource clock = InstantSource.fixed(Instant.parse("1999-12-31T00:00:00.25Z"));
        Wire wire = new OscEncoder(clock).encode(new Payload.OscBundle(List.of(osc("/a")), 250_000_000L), Say.NOTHING);

        assertThat(ByteBufUtil.hexDump(wire.bytes(), 8, 8))
                .isEqualTo(String.format("%08x%08x", 3_155_587_200L, 1L << 31));
        assertThat(wire.text()).isEqualTo("together, in 250 ms: /a");
    }

    private static List<String> read(String hex) {
        List<String> said = new ArrayList<>();
        OscText.of(Unpooled.wrappedBuffer(HexFormat.of().parseHex(hex.replace(" ", ""))), said::add);
        return said;
    }

    private static Payload.Osc osc(String address, int... arguments) {
        List<Argument> all = new ArrayList<>();
        for (int argument : arguments) {
            all.add(new Argument.Int32(argument));
        }
        return new Payload.Osc(Template.parse(address), all);
    }
}
