package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufUtil;
import io.netty.buffer.Unpooled;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.SplittableRandom;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class FramesTest {
    private final List<String> said = new ArrayList<>();

    /** RFC 1055, "Protocol": END is octal 300, ESC octal 333, and they are sent as ESC 334 and ESC 335. OSC 1.1: END before and after. */
    @ParameterizedTest
    @CsvSource({"2f61,c02f61c0", "c0,c0dbdcc0", "db,c0dbddc0", "dbdc,c0dbdddcc0", "c0db01,c0dbdcdbdd01c0"})
    void slipEscapesEndAndEsc(String packet, String onTheWire) {
        ByteBuf out = Unpooled.buffer();
        Slip.write(bytes(packet), out);
        assertThat(ByteBufUtil.hexDump(out)).isEqualTo(onTheWire);

        inPieces(new Slip(FramesTest::hex, said::add), onTheWire, 1);
        assertThat(said).containsExactly(packet);
    }

    /** RFC 1055's program keeps a byte that should not follow an ESC, and passes over empty packets. */
    @Test
    void slipTakesWhatIsNotQuiteRight() {
        inPieces(new Slip(FramesTest::hex, said::add), "c0c0c0db01c0c0c002c0", 3);

        assertThat(said).containsExactly("01", "02");
    }

    @ParameterizedTest
    @CsvSource({"1,03010203", "2,0003010203", "4,00000003010203"})
    void aLengthComesMostSignificantByteFirst(int prefix, String onTheWire) {
        Payload payload = new Payload.Bytes("010203");
        Wire wire = new TextEncoder(new Framing.Length(prefix)).encode(payload, Say.NOTHING);
        assertThat(ByteBufUtil.hexDump(wire.bytes())).isEqualTo(onTheWire);

        for (int piece = 1; piece <= 7; piece++) {
            said.clear();
            inPieces(new LengthFrames(prefix, FramesTest::hex, said::add), onTheWire + onTheWire, piece);
            assertThat(said).containsExactly("010203", "010203");
        }
    }

    @Test
    void aLengthThatIsTooLongToBeMeantIsRefusedBeforeItIsRead() {
        LengthFrames frames = new LengthFrames(4, FramesTest::hex, said::add);

        assertThat(frames.take(bytes("474554"))).isTrue(); // the beginning of "GET "
        assertThat(frames.take(bytes("20"))).isFalse();
        assertThat(frames.excess()).startsWith("announced a message of 1195725856 bytes");
    }

    @Test
    void aPacketWithoutEndIsRefused() {
        Slip slip = new Slip(FramesTest::hex, said::add);

        assertThat(slip.take(Unpooled.wrappedBuffer(new byte[Frames.LONGEST_BYTES])))
                .isTrue();
        assertThat(slip.take(bytes("00"))).isFalse();
    }

    /** Whatever comes in, and in whatever pieces: nothing is thrown. */
    @Test
    void nothingThatAGearSaysThrows() {
        for (long seed = 0; seed < 3_000; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            byte[] noise = new byte[random.nextInt(64)];
            random.nextBytes(noise);
            if (random.nextBoolean() && noise.length > 3) {
                System.arraycopy(new byte[] {'/', 'a', 0, 0}, 0, noise, 0, 4);
            }
            List<String> heard = new ArrayList<>();
            OscText.of(Unpooled.wrappedBuffer(noise), heard::add);
            assertThat(heard).as("seed %d", seed).isNotEmpty();
            new LengthFrames(2, OscText::of, heard::add).take(Unpooled.wrappedBuffer(noise));
            new Slip(OscText::of, heard::add).take(Unpooled.wrappedBuffer(noise));
        }
    }

    private static void inPieces(Frames frames, String hex, int piece) {
        ByteBuf all = bytes(hex);
        while (all.isReadable()) {
            assertThat(frames.take(all.readSlice(Math.min(piece, all.readableBytes()))))
                    .isTrue();
        }
    }

    private static void hex(ByteBuf message, Consumer<String> each) {
        each.accept(ByteBufUtil.hexDump(message));
    }

    private static ByteBuf bytes(String hex) {
        return Unpooled.wrappedBuffer(HexFormat.of().parseHex(hex));
    }
}
