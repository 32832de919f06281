package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.gear.Payload.Argument;
import instep.machine.Template;
import io.netty.buffer.ByteBufUtil;
import io.netty.buffer.Unpooled;
import java.io.DataOutputStream;
import java.io.IOException;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** Any OSC message that we write is what liblo's oscdump reads, and the other way round what its oscsend writes (Debian liblo-tools, liblo 0.31). */
class OscOfLibloTest {
    private static final String OSCDUMP = "/usr/bin/oscdump";
    private static final String OSCSEND = "/usr/bin/oscsend";
    private static final int MESSAGES = 400;
    private static final int MOST_ARGUMENTS = 7;

    /** An argument as we write it, with its type and the words in which oscdump shows it. */
    private record Said(Argument ours, char type, String shown) {}

    /** All at once through one oscdump; each has an address of its own. */
    @Test
    void readsAlikeWhateverWeWrite() throws IOException {
        Peer.needs(OSCDUMP, "liblo-tools");
        SplittableRandom random = new SplittableRandom(20_260_302);
        List<String> expected = new ArrayList<>();
        int port;
        try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            port = free.getLocalPort();
        }
        try (Peer dump = Peer.start(OSCDUMP, "-L", "osc.tcp://:" + port);
                Socket socket = connected(port);
                DataOutputStream out = new DataOutputStream(socket.getOutputStream())) {
            for (int i = 0; i < MESSAGES; i++) {
                List<Said> arguments = arguments(random);
                String address = "/m" + i;
                byte[] bytes = written(address, arguments);
                out.writeInt(bytes.length);
                out.write(bytes);
                expected.add(shown(address, arguments));
            }
            out.flush();
            await().atMost(Duration.ofSeconds(30)).until(() -> dump.printedAny("/m" + (MESSAGES - 1) + " "));
            // A time tag stands before each.
            List<String> read = dump.printed.stream()
                    .map(line -> line.substring(line.indexOf(' ') + 1))
                    .toList();
            for (int i = 0; i < MESSAGES; i++) {
                assertThat(read.get(i)).isEqualTo(expected.get(i));
            }
            assertThat(read).hasSize(MESSAGES);
        }
    }

    private static Socket connected(int port) {
        Socket[] socket = new Socket[1];
        await().atMost(Duration.ofSeconds(30)).ignoreExceptions().until(() -> {
            socket[0] = new Socket(InetAddress.getLoopbackAddress(), port);
            return true;
        });
        return socket[0];
    }

    private static byte[] written(String address, List<Said> arguments) {
        List<Argument> ours = arguments.stream().map(Said::ours).toList();
        Wire wire = new OscEncoder().encode(new Payload.Osc(Template.parse(address), ours), Say.NOTHING);
        byte[] bytes = ByteBufUtil.getBytes(wire.bytes());
        wire.release();
        return bytes;
    }

    private static String shown(String address, List<Said> arguments) {
        StringBuilder line = new StringBuilder(address).append(' ');
        arguments.forEach(said -> line.append(said.type()));
        arguments.forEach(said -> line.append(' ').append(said.shown()));
        return line.toString();
    }

    private static List<Said> arguments(SplittableRandom random) {
        List<Said> all = new ArrayList<>();
        for (int i = random.nextInt(MOST_ARGUMENTS + 1); i > 0; i--) {
            all.add(argument(random));
        }
        return all;
    }

    private static Said argument(SplittableRandom random) {
        int number = random.nextInt();
        long large = random.nextLong();
        double real = (random.nextDouble() - 0.5) * Math.pow(10, random.nextInt(-8, 12));
        return switch (random.nextInt(9)) {
            case 0 -> new Said(new Argument.Int32(number), 'i', "" + number);
            case 1 -> new Said(new Argument.Int64(large), 'h', "" + large);
            case 2 -> new Said(new Argument.Float32((float) real), 'f', sixDecimals((float) real));
            case 3 -> new Said(new Argument.Float64(real), 'd', sixDecimals(real));
            case 4 -> text(random);
            case 5 -> blob(random);
            case 6 -> new Said(Argument.Symbol.TRUE, 'T', "#T");
            case 7 -> new Said(Argument.Symbol.FALSE, 'F', "#F");
            default ->
                random.nextBoolean()
                        ? new Said(Argument.Symbol.NIL, 'N', "Nil")
                        : new Said(Argument.Symbol.IMPULSE, 'I', "Infinitum");
        };
    }

    /** C's %f. */
    private static String sixDecimals(double real) {
        String digits = new BigDecimal(Math.abs(real))
                .setScale(6, RoundingMode.HALF_EVEN)
                .toPlainString();
        return (real < 0 ? "-" : "") + digits;
    }

    private static Said text(SplittableRandom random) {
        List<String> letters = List.of("a", "Z", " ", "9", "ä", "€", "𝄞", "'");
        StringBuilder text = new StringBuilder();
        for (int i = random.nextInt(12); i > 0; i--) {
            text.append(letters.get(random.nextInt(letters.size())));
        }
        return new Said(new Argument.Text(Template.parse(text.toString())), 's', "\"" + text + '"');
    }

    private static Said blob(SplittableRandom random) {
        byte[] bytes = new byte[random.nextInt(10)];
        random.nextBytes(bytes);
        StringBuilder shown = new StringBuilder("[" + bytes.length + "b ");
        for (int i = 0; i < bytes.length; i++) {
            shown.append(i == 0 ? "" : " ").append(bytes[i] == 0 ? "00" : String.format("0x%x", bytes[i]));
        }
        return new Said(
                new Argument.Blob(HexFormat.of().formatHex(bytes)),
                'b',
                shown.append(']').toString());
    }

    @Test
    void understandsAllThatOscsendWrites() throws IOException {
        Peer.needs(OSCSEND, "liblo-tools");
        try (DatagramSocket socket = new DatagramSocket(0, InetAddress.getLoopbackAddress())) {
            socket.setSoTimeout(20_000);
            assertThat(sent(socket, "/i", "iii", "0", "-1", "2147483647")).isEqualTo("/i 0 -1 2147483647");
            assertThat(sent(socket, "/h", "h", "-9223372036854775807")).isEqualTo("/h -9223372036854775807");
            assertThat(sent(socket, "/f", "fd", "1.5", "0.1")).isEqualTo("/f 1.5 0.1");
            assertThat(sent(socket, "/s", "sS", "ä €", "symbol")).isEqualTo("/s \"ä €\" \"symbol\"");
            assertThat(sent(socket, "/odd", "cmTFNI", "z", "90403c7f")).isEqualTo("/odd \"z\" midi 90403c7f T F N I");
            assertThat(sent(socket, "/a/rather/long/address", "s", "abc")).isEqualTo("/a/rather/long/address \"abc\"");
        }
    }

    private static String sent(DatagramSocket to, String... words) throws IOException {
        List<String> command = new ArrayList<>(List.of(OSCSEND, "127.0.0.1", "" + to.getLocalPort()));
        command.addAll(List.of(words));
        try (Peer sender = Peer.start(command.toArray(String[]::new))) {
            DatagramPacket packet = new DatagramPacket(new byte[1_024], 1_024);
            to.receive(packet);
            assertThat(sender.printed).isEmpty();
            List<String> said = new ArrayList<>();
            OscText.of(Unpooled.wrappedBuffer(packet.getData(), 0, packet.getLength()), said::add);
            assertThat(said).hasSize(1);
            return said.get(0);
        }
    }
}
