package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import com.illposed.osc.BufferBytesReceiver;
import com.illposed.osc.OSCMessage;
import com.illposed.osc.OSCSerializerAndParserBuilder;
import com.illposed.osc.argument.OSCImpulse;
import com.illposed.osc.argument.handler.StringArgumentHandler;
import instep.gear.Payload.Argument;
import instep.machine.Template;
import io.netty.buffer.ByteBufUtil;
import io.netty.buffer.Unpooled;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import org.jspecify.annotations.Nullable;

/** OSC 1.0 against javaosc (com.illposed.osc on Maven Central), in both directions. */
class OscOfOthersTest {
    /** An argument as we write it, as javaosc holds it, and as we show it. */
    record Said(Argument ours, @Nullable Object theirs, String shown) {}

    private static OSCSerializerAndParserBuilder javaosc() {
        return new OSCSerializerAndParserBuilder()
                .addProperties(Map.of(StringArgumentHandler.PROP_NAME_CHARSET, StandardCharsets.UTF_8));
    }

    /** Blobs stand at the end here: javaosc 0.8 does not step over one, and reads its bytes again as the next argument. */
    @Property
    void isReadByJavaoscAsItWasMeant(@ForAll("addresses") String address, @ForAll("arguments") List<Said> any)
            throws Exception {
        List<Said> arguments = blobAtTheEnd(any);
        List<Argument> ours = arguments.stream().map(Said::ours).toList();
        Wire wire = new OscEncoder().encode(new Payload.Osc(Template.parse(address), ours), Say.NOTHING);
        byte[] bytes = ByteBufUtil.getBytes(wire.bytes());
        wire.release();

        OSCMessage read = (OSCMessage) javaosc().buildParser().convert(ByteBuffer.wrap(bytes));

        assertThat(read.getAddress()).isEqualTo(address);
        assertThat(comparable(read.getArguments())).isEqualTo(comparable(theirs(arguments)));
    }

    @Property
    void readsWhatJavaoscWrites(@ForAll("addresses") String address, @ForAll("arguments") List<Said> arguments)
            throws Exception {
        BufferBytesReceiver out = new BufferBytesReceiver(ByteBuffer.allocate(4_096));
        javaosc().buildSerializer(out).write(new OSCMessage(address, theirs(arguments)));
        List<String> said = new ArrayList<>();

        OscText.of(Unpooled.wrappedBuffer(out.toByteArray()), said::add);

        StringBuilder expected = new StringBuilder(address);
        arguments.forEach(argument -> expected.append(' ').append(argument.shown()));
        assertThat(said).containsExactly(expected.toString());
    }

    private static List<Said> blobAtTheEnd(List<Said> any) {
        List<Said> sorted = new ArrayList<>(any);
        sorted.removeIf(said -> said.ours() instanceof Argument.Blob);
        any.stream()
                .filter(said -> said.ours() instanceof Argument.Blob)
                .limit(1)
                .forEach(sorted::add);
        return sorted;
    }

    private static List<@Nullable Object> theirs(List<Said> arguments) {
        List<@Nullable Object> theirs = new ArrayList<>();
        arguments.forEach(argument -> theirs.add(argument.theirs()));
        return theirs;
    }

    /** Bytes are equal when they hold the same, in whatever they are. */
    private static List<String> comparable(List<@Nullable Object> arguments) {
        List<String> all = new ArrayList<>();
        for (Object argument : arguments) {
            if (argument instanceof ByteBuffer buffer) {
                byte[] bytes = new byte[buffer.remaining()];
                buffer.duplicate().get(bytes);
                all.add("bytes " + HexFormat.of().formatHex(bytes));
            } else if (argument instanceof byte[] bytes) {
                all.add("bytes " + HexFormat.of().formatHex(bytes));
            } else {
                all.add(argument == null ? "nothing" : argument.getClass().getSimpleName() + " " + argument);
            }
        }
        return all;
    }

    @Provide
    Arbitrary<String> addresses() {
        return Arbitraries.strings()
                .withCharRange('a', 'z')
                .ofMinLength(1)
                .ofMaxLength(9)
                .map(part -> "/" + part);
    }

    @Provide
    Arbitrary<List<Said>> arguments() {
        return Arbitraries.oneOf(
                        Arbitraries.integers().map(i -> new Said(new Argument.Int32(i), i, "" + i)),
                        Arbitraries.longs().map(h -> new Said(new Argument.Int64(h), h, "" + h)),
                        Arbitraries.floats().map(f -> new Said(new Argument.Float32(f), f, "" + f)),
                        Arbitraries.doubles().map(d -> new Said(new Argument.Float64(d), d, "" + d)),
                        Arbitraries.of(" ", "a", "Z", "9", "ä", "€", "𝄞")
                                .list()
                                .ofMaxSize(9)
                                .map(OscOfOthersTest::text),
                        Arbitraries.bytes().array(byte[].class).ofMaxSize(9).map(OscOfOthersTest::blob),
                        Arbitraries.of(
                                new Said(Argument.Symbol.TRUE, true, "T"),
                                new Said(Argument.Symbol.FALSE, false, "F"),
                                new Said(Argument.Symbol.NIL, null, "N"),
                                new Said(Argument.Symbol.IMPULSE, OSCImpulse.INSTANCE, "I")))
                .list()
                .ofMaxSize(6);
    }

    private static Said text(List<String> parts) {
        String text = String.join("", parts);
        return new Said(new Argument.Text(Template.parse(text)), text, '"' + text + '"');
    }

    private static Said blob(byte[] bytes) {
        String hex = HexFormat.of().formatHex(bytes);
        return new Said(new Argument.Blob(hex), ByteBuffer.wrap(bytes), "hex " + hex);
    }
}
