package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gear.GearSettings.OscCarrier;
import instep.gear.Payload.Argument;
import instep.machine.Template;
import java.io.IOException;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** OSC over TCP and OSC that comes back, against liblo (Debian liblo-tools) and against bytes of the specification. */
class OscStreamTest {
    private static final String OSCDUMP = "/usr/bin/oscdump";
    private static final String OSCSEND = "/usr/bin/oscsend";

    private final Told told = new Told();
    private final HandLoop hand = new HandLoop(HandLoop.Kind.EPOLL);
    private Rack rack = new Rack(hand.loop, List.of(), told);

    @AfterEach
    void close() {
        rack.close();
        hand.close();
    }

    /** liblo 0.31 understands both framings of a stream. */
    @ParameterizedTest
    @EnumSource(mode = EnumSource.Mode.EXCLUDE, names = "UDP")
    void isUnderstoodByLiblo(OscCarrier carrier) throws IOException {
        Peer.needs(OSCDUMP, "liblo-tools");
        int port;
        try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            port = free.getLocalPort();
        }
        try (Peer dump = Peer.start(OSCDUMP, "-L", "osc.tcp://:" + port)) {
            start(new GearSettings.Osc("lamp", "127.0.0.1", port, carrier, Say.stale()));
            hand.passUntil(20_000, () -> rack.isUp(0));
            rack.send(
                    Say.osc(0, "/foo", new Argument.Int32(0xc0db), new Argument.Text(Template.parse("hello"))),
                    Say.NOTHING,
                    1);
            Payload.Osc a = new Payload.Osc(Template.parse("/a"), List.of(new Argument.Int32(1)));
            Payload.Osc b = new Payload.Osc(Template.parse("/b"), List.of());
            rack.send(Say.message(0, new Payload.OscBundle(List.of(a, b), 0)), Say.NOTHING, 2);
            hand.until(() -> dump.printedAny("/b"));

            assertThat(dump.printed).anyMatch(line -> line.endsWith("/foo is 49371 \"hello\""));
            assertThat(dump.printed).anyMatch(line -> line.endsWith("/a i 1"));
        }
    }

    /** What liblo's own sender puts into a stream, brought to us by a peer that only passes bytes on. */
    @Test
    void understandsLiblo() throws IOException {
        Peer.needs(OSCSEND, "liblo-tools");
        try (ServerSocket server = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
            start(new GearSettings.Osc("lamp", "127.0.0.1", server.getLocalPort(), OscCarrier.TCP_LENGTH, Say.stale()));
            try (Socket ours = server.accept();
                    Peer sender = send("osc.tcp://127.0.0.1:" + server.getLocalPort());
                    Socket liblo = server.accept()) {
                hand.until(() -> rack.isUp(0));
                ours.getOutputStream().write(liblo.getInputStream().readAllBytes());
                hand.until(() -> told.has("0 reply"));
                assertThat(sender.printed).isEmpty();
            }
        }
        assertThat(told.lines).contains("0 reply -1 /foo 1000 -1 \"hello\" 1.234 5.678");
    }

    @Test
    void hearsWhatComesBackInDatagrams() throws IOException {
        try (DatagramSocket lamp = new DatagramSocket(0, InetAddress.getLoopbackAddress())) {
            lamp.setSoTimeout(10_000);
            start(new GearSettings.Osc("lamp", "127.0.0.1", lamp.getLocalPort(), Say.stale()));
            rack.send(Say.osc(0, "/ask"), Say.NOTHING, 1);
            DatagramPacket asked = new DatagramPacket(new byte[64], 64);
            lamp.receive(asked);
            // OSC 1.0, the first of the "OSC Message Examples"
            byte[] answer = HexFormat.of().parseHex("2f6f7363696c6c61746f722f342f6672657175656e6379002c66000043dc0000");
            lamp.send(new DatagramPacket(answer, answer.length, asked.getSocketAddress()));
            hand.until(() -> told.has("0 reply"));
        }
        assertThat(told.lines).contains("0 reply -1 /oscillator/4/frequency 440.0");
    }

    @Test
    void speaksAndHearsTextInDatagrams() throws IOException {
        try (DatagramSocket mixer = new DatagramSocket(0, InetAddress.getLoopbackAddress())) {
            mixer.setSoTimeout(10_000);
            start(new GearSettings.Udp(
                    "mixer", "127.0.0.1", mixer.getLocalPort(), GearSettings.LineEnd.CR, Say.stale()));
            rack.send(Say.text(0, "CUT 2"), Say.NOTHING, 1);
            DatagramPacket heard = new DatagramPacket(new byte[64], 64);
            mixer.receive(heard);
            assertThat(new String(heard.getData(), 0, heard.getLength(), java.nio.charset.StandardCharsets.US_ASCII))
                    .isEqualTo("CUT 2\r");
            mixer.send(new DatagramPacket(new byte[] {'O', 'K', '\r'}, 3, heard.getSocketAddress()));
            hand.until(() -> told.has("0 reply"));
        }
        assertThat(told.lines).contains("0 sent 1 CUT 2", "0 reply -1 OK");
    }

    private static Peer send(String to) throws IOException {
        return Peer.start(OSCSEND, to, "/foo", "iisff", "1000", "-1", "hello", "1.234", "5.678");
    }

    private void start(GearSettings gear) {
        rack = new Rack(hand.loop, List.of(gear), told);
        rack.start();
        if (gear.address().contains("udp ")) {
            hand.until(() -> rack.isUp(0));
        } else {
            hand.loop.runNow();
        }
    }
}
