package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gesture.Moves;
import instep.gesture.Scale;
import instep.input.NetPort.Carrier;
import instep.input.net.Prefix;
import instep.reference.Installed;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** The packets are those of oscsend (Debian's liblo-tools), but for those that it would not send. */
@Timeout(60)
class OscDoorTest {
    private static final NetContact LEFT = NetContact.named(0, "/foot/left");
    private static final NetContact RIGHT = NetContact.named(1, "/foot/right");

    private static void oscsend(DoorRig rig, String... message) throws Exception {
        String oscsend = "/usr/bin/oscsend";
        Installed.program("oscsend", "liblo-tools");
        String[] command = new String[message.length + 3];
        command[0] = oscsend;
        command[1] = "127.0.0.1";
        command[2] = String.valueOf(rig.port);
        System.arraycopy(message, 0, command, 3, message.length);
        DoorRig.run(command);
    }

    private static void send(DoorRig rig, String hex) throws Exception {
        byte[] bytes = HexFormat.of().parseHex(hex);
        try (DatagramSocket socket = new DatagramSocket()) {
            socket.send(new DatagramPacket(bytes, bytes.length, InetAddress.getLoopbackAddress(), rig.port));
        }
    }

    @Test
    void closesAtWhatIsNotZeroAndOpensAtZero() throws Exception {
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.OSC), LEFT, RIGHT)) {
            rig.opened("OSC over UDP");
            oscsend(rig, "/foot/left", "i", "1");
            oscsend(rig, "/foot/left", "i", "0");
            oscsend(rig, "/foot/right", "f", "0.25");
            oscsend(rig, "/foot/right", "F");
            oscsend(rig, "/foot/right", "T");
            oscsend(rig, "/foot/right", "d", "0");
            rig.told.expect(
                    "edge 0 closed", "edge 0 open", "edge 1 closed", "edge 1 open", "edge 1 closed", "edge 1 open");
        }
    }

    @Test
    void stepsWithoutAnArgumentAtTheTimeOfReceipt() throws Exception {
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.OSC), LEFT)) {
            rig.opened("OSC over UDP");
            long before = System.nanoTime();
            oscsend(rig, "/foot/left");
            rig.told.expect("edge 0 closed", "edge 0 open");
            assertThat(rig.told.nanos).isBetween(before, System.nanoTime());
        }
    }

    @Test
    void reachesAllContactsThatAPatternStandsFor() throws Exception {
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.OSC), LEFT, RIGHT)) {
            rig.opened("OSC over UDP");
            oscsend(rig, "/foot/*", "i", "1");
            oscsend(rig, "/foot/{left,middle}", "i", "0");
            rig.told.expect("edge 0 closed", "edge 1 closed", "edge 0 open");
        }
    }

    @Test
    void followsAFaderAndClosesAtItsThreshold() throws Exception {
        Moves moves = new Moves(0, Scale.PERCENT, Moves.USUAL_INTERVAL);
        NetContact fader = new NetContact(0, "/fader", null, null, null, moves);
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.OSC), fader)) {
            rig.opened("OSC over UDP");
            oscsend(rig, "/fader", "f", "0.5");
            oscsend(rig, "/fader", "f", "0.75");
            oscsend(rig, "/fader", "f", "0.5");
            oscsend(rig, "/fader", "f", "7");
            oscsend(rig, "/fader", "f", "-1");
            rig.told.expect("moved 0 0.5", "edge 0 closed", "moved 0 0.75", "moved 0 0.5", "moved 0 1.0");
            rig.told.expect("edge 0 open", "moved 0 0.0");
        }
    }

    @Test
    void opensWhatIsNotRepeatedInTime() throws Exception {
        NetPort port = DoorRig.port(Carrier.OSC, List.of(), 150_000_000L, null);
        try (DoorRig rig = new DoorRig(port, LEFT)) {
            rig.opened("OSC over UDP");
            oscsend(rig, "/foot/left", "i", "1");
            rig.told.expect("edge 0 closed", "edge 0 lost");
            oscsend(rig, "/foot/left", "i", "1");
            rig.told.expect("edge 0 closed", "edge 0 lost");
        }
    }

    @Test
    void hearsNobodyWhoIsNotAllowedAndSaysSoOnce() throws Exception {
        List<Prefix> from = List.of(Prefix.parse("192.0.2.0/24").orElseThrow());
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.OSC, from, 0, null), LEFT)) {
            rig.opened("OSC over UDP");
            for (int i = 0; i < 100; i++) {
                send(rig, "2f666f6f742f6c65667400002c540000");
            }
            rig.told.expect("odd 0: stage: 127.0.0.1 is not among those that may send (from:) and is not heard");
            rig.stop();
            rig.told.expectNothingMore();
        }
    }

    @Test
    void goesOnAfterWhatIsNoOsc() throws Exception {
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.OSC), LEFT)) {
            rig.opened("OSC over UDP");
            send(rig, "ffff");
            send(rig, "");
            rig.told.expect(
                    "odd 0: stage: 127.0.0.1 sends what is no OSC that a contact could follow: it ends too soon");
            send(rig, "2f666f6f742f6c65667400002c540000");
            rig.told.expect("edge 0 closed");
        }
    }

    @Tag("lab")
    @Test
    void isStillThereAfterAFloodOfPacketsAndHasSaidLittleOfIt() throws Exception {
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.OSC), LEFT, RIGHT);
                DatagramSocket socket = new DatagramSocket()) {
            rig.opened("OSC over UDP");
            Random random = new Random(7);
            for (int i = 0; i < 20_000; i++) {
                byte[] bytes = new byte[random.nextInt(2_000)];
                random.nextBytes(bytes);
                socket.send(new DatagramPacket(bytes, bytes.length, InetAddress.getLoopbackAddress(), rig.port));
            }
            List<String> odd = new ArrayList<>();
            String told = "";
            while (!told.equals("edge 0 closed")) {
                send(rig, "2f666f6f742f6c6566740000" + "2c540000"); // what the kernel has no room for is gone
                told = rig.told.next();
                if (told.startsWith("odd ")) {
                    odd.add(told);
                }
            }
            assertThat(odd).isNotEmpty().hasSizeLessThan(30);
        }
    }
}
