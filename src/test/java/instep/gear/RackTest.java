package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import instep.demo.StandInLamp;
import instep.demo.StandInMixer;
import instep.demo.StandInRecorder;
import instep.gear.GearSettings.LineEnd;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedClass;
import org.junit.jupiter.params.provider.EnumSource;

@ParameterizedClass
@EnumSource(HandLoop.Kind.class)
class RackTest {
    private final Told told = new Told();
    private final HandLoop hand;
    private Rack rack;

    RackTest(HandLoop.Kind kind) {
        hand = new HandLoop(kind);
        rack = new Rack(hand.loop, List.of(), told);
    }

    @AfterEach
    void close() {
        rack.close();
        hand.close();
    }

    @Test
    void tellsEachGearItsOwnSteps() throws IOException {
        try (StandInMixer mixer = StandInMixer.open();
                StandInRecorder recorder = StandInRecorder.open();
                StandInLamp lamp = StandInLamp.open()) {
            start(Say.mixer(mixer.port(), LineEnd.CRLF), Say.recorder(recorder.port()), Say.lamp(lamp.port()));
            hand.until(() -> rack.isUp(0) && rack.isUp(1) && rack.isUp(2));

            rack.send(roll(), Say.with("take", 3L), 5);
            hand.until(() -> told.has("1 reply 5") && told.has("0 reply -1 ONAIR 1"));
            hand.until(() -> !lamp.received().isEmpty());

            assertThat(mixer.received()).extracting(h -> h.text()).containsExactly("CUT 1");
            assertThat(recorder.received())
                    .extracting(h -> h.text())
                    .containsExactly("PUT /transport {\"mode\":\"record\",\"take\":\"3\"}");
            assertThat(lamp.received()).extracting(h -> h.text()).containsExactly("/lamp/rec");
            assertThat(told.lines).contains("1 reply 5 200 OK", "0 reply -1 OK CUT 1");
            assertThat(rack.isQuiet()).isTrue();
        }
    }

    @Test
    void tellsOnlyTheGearThatIsNamed() throws IOException {
        try (StandInMixer mixer = StandInMixer.open();
                StandInRecorder recorder = StandInRecorder.open();
                StandInLamp lamp = StandInLamp.open()) {
            start(Say.mixer(mixer.port(), LineEnd.CRLF), Say.recorder(recorder.port()), Say.lamp(lamp.port()));
            hand.until(() -> rack.isUp(0) && rack.isUp(1) && rack.isUp(2));

            rack.sendTo(0, roll(), Say.NOTHING, 6);
            hand.until(() -> told.has("0 reply -1 ONAIR 1"));

            assertThat(told.lines).filteredOn(line -> line.contains("sent")).containsExactly("0 sent 6 CUT 1");
        }
    }

    @Test
    void letsNoDeadGearDelayAnother() throws IOException {
        CountDownLatch nameServer = new CountDownLatch(1);
        ServerSocket refusing = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
        refusing.close();
        try (StandInMixer mixer = StandInMixer.open()) {
            GearSettings dead = Say.recorder(refusing.getLocalPort());
            GearSettings nameless = Say.mixer(1, LineEnd.LF).at("slow.example", 9);
            rack = new Rack(
                    hand.net(host -> waitFor(nameServer)),
                    List.of(dead, nameless, Say.mixer(mixer.port(), LineEnd.CRLF)),
                    told);
            rack.start();
            hand.until(() -> rack.isUp(2));
            Message all = new Message(
                    "all",
                    List.of(
                            Say.http(0, "PUT", "/x").steps().get(0),
                            Say.text(1, "CUT 1").steps().get(0),
                            Say.text(2, "CUT 1").steps().get(0)));

            rack.send(all, Say.NOTHING, 1);

            assertThat(told.lines)
                    .last()
                    .isEqualTo("2 sent 1 CUT 1"); // at once: neither the loop nor the clock has moved
            hand.pass(Say.STALE_MILLIS);
            assertThat(told.lines).anyMatch(line -> line.startsWith("0 missed 1"));
            assertThat(told.lines).contains("1 missed 1 CUT 1: not connected yet");
        } finally {
            nameServer.countDown();
        }
    }

    @Test
    void closesItsConnectionEvenWhenTheListenerEndsItAtTheFirstWord() throws IOException {
        try (ServerSocket server = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
            int port = server.getLocalPort();
            for (GearSettings gear : List.of(Say.mixer(port, LineEnd.CRLF), Say.recorder(port))) {
                rack = new Rack(hand.loop, List.of(gear), new Told() {
                    @Override
                    public void link(int number, LinkState state, String why) {
                        told.link(number, state, why);
                        rack.close();
                    }
                });
                rack.start();
                hand.until(() -> told.has("0 UP"));
                hand.pass(1);

                try (Socket peer = server.accept()) {
                    peer.setSoTimeout(10_000);
                    assertThat(peer.getInputStream().read()).as(gear.name()).isEqualTo(-1);
                }
                told.lines.clear();
            }
        }
    }

    private static InetAddress[] waitFor(CountDownLatch latch) {
        try {
            latch.await();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
        return new InetAddress[] {InetAddress.getLoopbackAddress()};
    }

    private void start(GearSettings... gear) {
        rack = new Rack(hand.loop, List.of(gear), told);
        rack.start();
    }

    private static Message roll() {
        return new Message(
                "roll",
                Stream.of(
                                Say.text(0, "CUT 1"),
                                Say.json(1, "PUT", "/transport", "{\"mode\":\"record\",\"take\":\"{take}\"}"),
                                Say.osc(2, "/lamp/rec"))
                        .flatMap(message -> message.steps().stream())
                        .toList());
    }
}
