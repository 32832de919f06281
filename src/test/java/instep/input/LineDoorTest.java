package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.input.NetPort.Carrier;
import instep.input.net.Prefix;
import instep.reference.Installed;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

@Timeout(60)
class LineDoorTest {
    /** So many milliseconds; a read that waits for longer outlives the limit of the test. */
    private static final int HANGS = 50_000;

    private static final NetContact LEFT = new NetContact(0, "left down", "left up", "left", null, null);
    private static final NetContact BELL = new NetContact(1, "FS 2 1", "FS 2 0", null, null, null);
    private static final NetContact KNOCK = NetContact.named(2, "KNOCK");

    private static Socket connect(DoorRig rig) throws Exception {
        Socket socket = new Socket(InetAddress.getLoopbackAddress(), rig.port);
        socket.setSoTimeout(HANGS);
        return socket;
    }

    private static void say(Socket socket, String text) throws Exception {
        socket.getOutputStream().write(text.getBytes(StandardCharsets.UTF_8));
    }

    @Test
    void takesLinesWithEitherEndAndInPieces() throws Exception {
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.TCP), LEFT, BELL, KNOCK);
                Socket peer = connectWhenOpen(rig)) {
            say(peer, "left down\r\nleft up\n\nFS 2");
            rig.told.expect("edge 0 closed", "edge 0 open");
            say(peer, " 1\nFS 2 0\nKNOCK\nleft\n");
            rig.told.expect(
                    "edge 1 closed", "edge 1 open", "edge 2 closed", "edge 2 open", "edge 0 closed", "edge 0 open");
        }
    }

    private static Socket connectWhenOpen(DoorRig rig) throws Exception {
        rig.opened("lines over TCP");
        return connect(rig);
    }

    /** socat (Debian) ends by itself when it has sent what it was given. */
    @Test
    void opensWhatAPeerHeldThatHasGone() throws Exception {
        Path socat = Path.of("/usr/bin/socat");
        Installed.program("socat", "socat");
        Path lines = Files.writeString(Files.createTempFile("lines", ".txt"), "left down\nFS 2 1\nFS 2 0\n");
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.TCP), LEFT, BELL)) {
            rig.opened("lines over TCP");
            DoorRig.run(socat.toString(), "-u", "FILE:" + lines, "TCP:127.0.0.1:" + rig.port);
            rig.told.expect("edge 0 closed", "edge 1 closed", "edge 1 open", "edge 0 lost");
        } finally {
            Files.delete(lines);
        }
    }

    @Test
    void opensWhatAPeerHeldWhoseConnectionIsReset() throws Exception {
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.TCP), LEFT)) {
            Socket peer = connectWhenOpen(rig);
            say(peer, "left down\n");
            rig.told.expect("edge 0 closed");
            peer.setSoLinger(true, 0);
            peer.close();
            rig.told.expect("edge 0 lost");
        }
    }

    @Test
    void sendsAwayWhoNeverEndsALine() throws Exception {
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.TCP), LEFT);
                Socket peer = connectWhenOpen(rig)) {
            say(peer, "x".repeat(LineDoor.MOST_BYTES + 1));
            assertThat(peer.getInputStream().read()).isEqualTo(-1);
            rig.told.expect("odd 0: stage: 127.0.0.1 sends a line of more than 256 bytes and is cut off");
        }
    }

    @Test
    void saysOnceWhatItDoesNotKnow() throws Exception {
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.TCP), LEFT);
                Socket peer = connectWhenOpen(rig)) {
            say(peer, "le\u0007f\u202et\n".repeat(50) + "left down\n");
            rig.told.expect(
                    "odd 0: stage: 127.0.0.1 says \"le\\u0007f\\u202Et\", which is no contact", "edge 0 closed");
        }
    }

    /** 192.0.2.0/24 is for documentation (RFC 5737): the loopback is not of it. */
    @Test
    void sendsAwayWhoIsNotAllowedAndTakesWhoIs() throws Exception {
        Prefix away = Prefix.parse("192.0.2.0/24").orElseThrow();
        Prefix here = Prefix.parse("127.0.0.0/8").orElseThrow();
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.TCP, List.of(away), 0, null), LEFT);
                Socket peer = connectWhenOpen(rig)) {
            peer.setSoTimeout(HANGS);
            assertThat(peer.getInputStream().read()).isEqualTo(-1);
            rig.told.expect("odd 0: stage: 127.0.0.1 is not among those that may send (from:) and is not heard");
        }
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.TCP, List.of(away, here), 0, null), LEFT);
                Socket peer = connectWhenOpen(rig)) {
            say(peer, "left down\n");
            rig.told.expect("edge 0 closed");
        }
    }

    @Test
    void letsNoMoreThanSixteenBeConnected() throws Exception {
        List<Socket> peers = new ArrayList<>();
        try (DoorRig rig = new DoorRig(DoorRig.port(Carrier.TCP), LEFT)) {
            rig.opened("lines over TCP");
            for (int i = 0; i <= Door.MOST_PEERS; i++) {
                peers.add(connect(rig));
            }
            assertThat(peers.get(Door.MOST_PEERS).getInputStream().read()).isEqualTo(-1);
            rig.told.expect("odd 0: stage: 127.0.0.1 cannot be connected: 16 are connected already");
            say(peers.get(0), "left down\n");
            rig.told.expect("edge 0 closed");
        } finally {
            for (Socket peer : peers) {
                peer.close();
            }
        }
    }

    @Test
    @SuppressWarnings("try") // the other program ends in the middle
    void waitsForAPortThatIsAnotherPrograms() throws Exception {
        NetPort port = DoorRig.port(Carrier.TCP);
        int number = port.address().getPort();
        try (ServerSocket other = new ServerSocket(number, 1, InetAddress.getLoopbackAddress());
                DoorRig rig = new DoorRig(port, LEFT)) {
            rig.told.expect("device 0 DENIED: another program listens at 127.0.0.1:" + number
                    + "; end it, or choose another port");
            other.close();
            rig.opened("lines over TCP");
        }
    }

    @Test
    void waitsForAnAddressThatThisMachineDoesNotHaveYet() throws Exception {
        NetPort away = new NetPort(
                Carrier.TCP,
                new InetSocketAddress(Prefix.parse("192.0.2.5").orElseThrow().address(), 9101),
                List.of(),
                0,
                null);
        try (DoorRig rig = new DoorRig(away, LEFT)) {
            rig.told.expect("device 0 DENIED: 192.0.2.5:9101 is no address of this machine; is its network cable in?");
        }
    }
}
