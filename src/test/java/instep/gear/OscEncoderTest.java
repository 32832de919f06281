package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import instep.demo.OscReader;
import instep.gear.Payload.Argument;
import instep.machine.Template;
import instep.machine.Values;
import io.netty.buffer.ByteBufUtil;
import java.util.List;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import org.junit.jupiter.api.Test;

class OscEncoderTest {
    private final OscEncoder encoder = new OscEncoder();

    /** OSC 1.0 specification, examples page, "OSC Message Examples", the first. */
    // OSC 1.0, "Atomic Data Types": int32 and IEEE 754 float32, big-endian; 0.5 is 3f000000
    @Test
    void aNumberMayBeAValue() {
        Values values = name -> name.equals("level") ? "0.50" : "loud";
        List<Argument> arguments = List.of(
                new Argument.Numeric('f', Template.parse("{level}")),
                new Argument.Numeric('i', Template.parse("2{level}")),
                new Argument.Numeric('h', Template.parse("7")),
                new Argument.Numeric('d', Template.parse("{level}")));
        Wire wire = encoder.encode(new Payload.Osc(Template.parse("/a"), arguments), values);
        assertThat(ByteBufUtil.hexDump(wire.bytes()))
                .isEqualTo("2f610000" + "2c66696864000000" + "3f000000" + "00000015" + "0000000000000007"
                        + "3fe0000000000000");
        wire.release();
        Payload none =
                new Payload.Osc(Template.parse("/a"), List.of(new Argument.Numeric('f', Template.parse("{other}"))));
        assertThatIllegalArgumentException()
                .isThrownBy(() -> encoder.encode(none, values))
                .withMessage("the OSC argument {other} is no number of type f: loud");
    }

    @Test
    void encodesTheSpecificationsExampleWithAFloat() {
        assertThat(hex("/oscillator/4/frequency", new Argument.Float32(440.0f)))
                .isEqualTo("2f6f7363696c6c61746f722f342f6672657175656e637900" + "2c660000" + "43dc0000");
    }

    /** OSC 1.0 specification, examples page, "OSC Message Examples", the second. */
    @Test
    void encodesTheSpecificationsExampleWithFiveArguments() {
        assertThat(hex(
                        "/foo",
                        new Argument.Int32(1000),
                        new Argument.Int32(-1),
                        text("hello"),
                        new Argument.Float32(1.234f),
                        new Argument.Float32(5.678f)))
                .isEqualTo("2f666f6f00000000" + "2c69697366660000" + "000003e8" + "ffffffff" + "68656c6c6f000000"
                        + "3f9df3b6" + "40b5b22d");
    }

    /** OSC 1.0 specification, "OSC Type Tag String": these have no bytes among the arguments. */
    @Test
    void encodesSymbolsAsTagsOnly() {
        assertThat(hex("/x", Argument.Symbol.values())).isEqualTo("2f780000" + "2c54464e49000000");
    }

    /** OSC 1.0 specification, "OSC Strings": one to four NULs, so that the length is a multiple of four. */
    @Test
    void padsStringsWithOneToFourNuls() {
        assertThat(hex("/", text(""))).isEqualTo("2f000000" + "2c730000" + "00000000");
        assertThat(hex("/", text("abc"))).endsWith("61626300");
        assertThat(hex("/", text("abcd"))).endsWith("6162636400000000");
    }

    /** OSC 1.0 specification, "OSC-blob": an int32 size, then that many bytes and zero to three zero bytes. */
    @Test
    void padsBlobsWithUpToThreeZeros() {
        assertThat(hex("/", new Argument.Blob(""))).endsWith("2c620000" + "00000000");
        assertThat(hex("/", new Argument.Blob("0102030405"))).endsWith("00000005" + "0102030405000000");
        assertThat(hex("/", new Argument.Blob("01020304"))).endsWith("00000004" + "01020304");
    }

    @Test
    void putsValuesIntoAddressAndText() {
        Payload.Osc osc = new Payload.Osc(Template.parse("/take/{name}"), List.of(text("take {name}")));

        Wire wire = encoder.encode(osc, Say.with("name", "7 #b\0"));

        OscReader.Message read = OscReader.read(ByteBufUtil.getBytes(wire.bytes()));
        assertThat(read.address()).isEqualTo("/take/7__b_");
        assertThat(read.arguments()).containsExactly("take 7 #b ");
        assertThat(wire.text()).isEqualTo("/take/7__b_ \"take 7 #b \"");
        wire.release();
    }

    @Test
    void refusesAnAddressWithoutASlash() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> hex("lamp"))
                .withMessage("an OSC address begins with a slash, and this does not: lamp");
    }

    /** The reader of the stand-in lamp shares no code with the encoder. */
    @Property
    void isReadBackAsItWas(@ForAll("addresses") String address, @ForAll("arguments") List<Argument> arguments) {
        Wire wire = encoder.encode(new Payload.Osc(Template.parse(address), arguments), Say.NOTHING);

        OscReader.Message read = OscReader.read(ByteBufUtil.getBytes(wire.bytes()));

        assertThat(wire.bytes().readableBytes() % 4).isZero();
        assertThat(read.address()).isEqualTo(address);
        assertThat(read.arguments())
                .containsExactlyElementsOf(
                        arguments.stream().map(OscEncoderTest::asRead).toList());
        wire.release();
    }

    @Provide
    Arbitrary<String> addresses() {
        return Arbitraries.strings().withCharRange('a', 'z').ofMaxLength(9).map(part -> "/" + part);
    }

    @Provide
    Arbitrary<List<Argument>> arguments() {
        Arbitrary<Argument> one = Arbitraries.oneOf(
                Arbitraries.integers().map(Argument.Int32::new),
                Arbitraries.longs().map(Argument.Int64::new),
                Arbitraries.floats().map(Argument.Float32::new),
                Arbitraries.doubles().map(Argument.Float64::new),
                Arbitraries.of(" ", "a", "Z", "9", "\\", "\"", "ä", "€", "𝄞")
                        .list()
                        .ofMaxSize(9)
                        .map(parts -> text(String.join("", parts))),
                Arbitraries.strings()
                        .withChars("0123456789abcdef")
                        .ofMaxLength(9)
                        .map(half -> new Argument.Blob(half + half)),
                Arbitraries.of(Argument.Symbol.class));
        return one.list().ofMaxSize(6);
    }

    private static Object asRead(Argument argument) {
        if (argument instanceof Argument.Int32 i) {
            return i.value();
        } else if (argument instanceof Argument.Int64 h) {
            return h.value();
        } else if (argument instanceof Argument.Float32 f) {
            return f.value();
        } else if (argument instanceof Argument.Float64 d) {
            return d.value();
        } else if (argument instanceof Argument.Text s) {
            return s.value().toString();
        } else if (argument instanceof Argument.Blob b) {
            return new OscReader.Blob(b.hex());
        }
        return ((Argument.Symbol) argument).tag();
    }

    private static Argument text(String text) {
        return new Argument.Text(Template.parse(text));
    }

    private String hex(String address, Argument... arguments) {
        Wire wire = encoder.encode(new Payload.Osc(Template.parse(address), List.of(arguments)), Say.NOTHING);
        String hex = ByteBufUtil.hexDump(wire.bytes());
        wire.release();
        return hex;
    }
}
