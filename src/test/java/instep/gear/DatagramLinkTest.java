package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import instep.demo.StandIn;
import instep.demo.StandInLamp;
import instep.gear.Payload.Argument;
import instep.machine.Template;
import java.io.BufferedReader;
import java.io.IOException;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.UnknownHostException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedClass;
import org.junit.jupiter.params.provider.EnumSource;

@ParameterizedClass
@EnumSource(HandLoop.Kind.class)
class DatagramLinkTest {
    private static final Path OSCDUMP = Path.of("/usr/bin/oscdump");

    private final Told told = new Told();
    private final HandLoop hand;
    private Rack rack;

    DatagramLinkTest(HandLoop.Kind kind) {
        hand = new HandLoop(kind);
        rack = new Rack(hand.loop, List.of(), told);
    }

    @AfterEach
    void close() {
        rack.close();
        hand.close();
    }

    @Test
    void isUpAsSoonAsThereIsASocketAndReachesTheLamp() throws IOException {
        try (StandInLamp lamp = StandInLamp.open()) {
            start(Say.lamp(lamp.port()));
            rack.send(roll(), Say.with("take", 7L), 1);
            hand.until(() -> !lamp.received().isEmpty());

            assertThat(lamp.shown()).isEqualTo("/lamp/rec 1 0.5 \"take 7\"");
            assertThat(told.lines)
                    .containsExactly(
                            "0 UP messages go to 127.0.0.1:" + lamp.port() + " (UDP gives no receipt)",
                            "0 sent 1 /lamp/rec 1 0.5 \"take 7\"");
        }
    }

    /** liblo's receiver (Debian package liblo-tools) is somebody else's reading of the OSC 1.0 specification. */
    @Test
    void isUnderstoodByLiblo() throws IOException {
        assertThat(Files.isExecutable(OSCDUMP))
                .as("%s is needed to check our OSC: apt-get install liblo-tools", OSCDUMP)
                .isTrue();
        int port = freePort();
        Process dump = new ProcessBuilder(OSCDUMP.toString(), "-L", Integer.toString(port)).start();
        try {
            List<String> printed = collect(dump);
            start(Say.lamp(port));
            hand.until(() -> {
                rack.send(Say.osc(0, "/ready"), Say.NOTHING, 0);
                return printed.stream().anyMatch(line -> line.contains("/ready"));
            });

            rack.send(everyType(), Say.NOTHING, 1);
            hand.until(() -> printed.stream().anyMatch(line -> line.contains("/all")));

            assertThat(printed)
                    .filteredOn(line -> line.contains("/all"))
                    .singleElement()
                    .asString()
                    .endsWith("/all ifsbTFNIhd 1000 5.678000 \"take 7\" [4b 0x1 0x2 0x3 0xff] #T #F Nil Infinitum "
                            + "-9000000000 0.500000");
        } finally {
            dump.destroy();
        }
    }

    @Test
    void saysOnceThatNobodyTakesTheMessagesAndGoesOnSending() throws IOException {
        int port = freePort();
        start(Say.lamp(port));

        for (int i = 1; i <= 5; i++) {
            int ticket = i;
            rack.send(roll(), Say.NOTHING, ticket);
            hand.until(() -> told.has("0 sent " + ticket));
            hand.until(() -> told.has("0 LOST"));
            hand.pass(2_000);
        }

        assertThat(told.count("0 LOST")).isEqualTo(1);
        assertThat(told.lines).contains("0 LOST nothing listens at 127.0.0.1:" + port + ": is the lamp on?");
        assertThat(told.count("0 sent")).isEqualTo(5);
        assertThat(told.count("0 UP")).isEqualTo(1);
        assertThat(told.has("0 missed")).isFalse();
        assertThat(rack.isUp(0)).isFalse();
    }

    @Test
    void isUpAgainWhenMessagesAreNoLongerRefused() throws IOException {
        int port = freePort();
        start(Say.lamp(port));
        rack.send(roll(), Say.NOTHING, 1);
        hand.until(() -> told.has("0 LOST"));

        try (StandIn lamp = StandInLamp.open(port)) {
            rack.send(roll(), Say.NOTHING, 2);
            hand.until(() -> !lamp.received().isEmpty());
            hand.pass(3_999);
            assertThat(rack.isUp(0)).isFalse();
            hand.pass(1);
            assertThat(rack.isUp(0)).isTrue();
        }
        assertThat(told.lines).endsWith("0 UP 127.0.0.1:" + port + " refuses messages no longer");
    }

    @Test
    void missesWhatIsTooLongForADatagram() throws IOException {
        try (StandIn lamp = StandInLamp.open()) {
            start(Say.lamp(lamp.port()));
            rack.send(Say.osc(0, "/x", new Argument.Text(Template.parse("x".repeat(70_000)))), Say.NOTHING, 1);
            hand.until(() -> told.has("0 missed 1"));

            hand.passUntil(100, () -> rack.isUp(0));
            rack.send(roll(), Say.NOTHING, 2);
            hand.until(() -> lamp.received().size() == 1);
        }
    }

    @Test
    void missesWhatIsStaleBeforeTheNameIsKnown() {
        rack = new Rack(
                hand.net(host -> {
                    throw new UnknownHostException(host);
                }),
                List.of(Say.lamp(1).at("lamp.example", 9703)),
                told);
        rack.start();
        rack.send(roll(), Say.NOTHING, 1);
        hand.until(() -> told.has("0 LOST"));
        hand.pass(Say.STALE_MILLIS);

        assertThat(told.lines)
                .last()
                .asString()
                .startsWith("0 missed 1 /lamp/rec 1 0.5 \"take \": nobody on the network");
    }

    private void start(GearSettings gear) {
        rack = new Rack(hand.loop, List.of(gear), told);
        rack.start();
        hand.until(() -> rack.isUp(0));
    }

    private static Message roll() {
        return Say.osc(
                0,
                "/lamp/rec",
                new Argument.Int32(1),
                new Argument.Float32(0.5f),
                new Argument.Text(Template.parse("take {take}")));
    }

    private static Message everyType() {
        return Say.osc(
                0,
                "/all",
                new Argument.Int32(1000),
                new Argument.Float32(5.678f),
                new Argument.Text(Template.parse("take 7")),
                new Argument.Blob("010203ff"),
                Argument.Symbol.TRUE,
                Argument.Symbol.FALSE,
                Argument.Symbol.NIL,
                Argument.Symbol.IMPULSE,
                new Argument.Int64(-9_000_000_000L),
                new Argument.Float64(0.5));
    }

    private static int freePort() throws IOException {
        try (DatagramSocket socket = new DatagramSocket(0, InetAddress.getLoopbackAddress())) {
            return socket.getLocalPort();
        }
    }

    private static List<String> collect(Process process) {
        List<String> lines = new CopyOnWriteArrayList<>();
        BufferedReader reader = process.inputReader(StandardCharsets.UTF_8);
        Thread thread = new Thread(() -> reader.lines().forEach(lines::add), "oscdump");
        thread.setDaemon(true);
        thread.start();
        return lines;
    }
}
