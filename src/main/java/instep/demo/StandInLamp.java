package instep.demo;

import java.io.IOException;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;

/** A tally lamp that is told in OSC messages, or in plain text, over UDP what to show. It obeys anything and remembers it. */
public final class StandInLamp implements StandIn {
    private final DatagramSocket socket;
    private final int port;
    private final List<Heard> heard = new CopyOnWriteArrayList<>();
    private volatile String shown = "";

    private StandInLamp(DatagramSocket socket) {
        this.socket = socket;
        this.port = socket.getLocalPort(); // which a closed socket no longer tells
    }

    /** Opens one on a free port. */
    public static StandInLamp open() throws IOException {
        return open(0);
    }

    /** Opens one on that port, as a device does that is switched on again. */
    public static StandInLamp open(int port) throws IOException {
        DatagramSocket socket = new DatagramSocket(new InetSocketAddress(InetAddress.getLoopbackAddress(), port));
        StandInLamp lamp = new StandInLamp(socket);
        Thread thread = new Thread(lamp::listen, "stand-in-lamp");
        thread.setDaemon(true);
        thread.start();
        return lamp;
    }

    @Override
    public int port() {
        return port;
    }

    @Override
    public List<Heard> received() {
        return List.copyOf(heard);
    }

    /** The last message, readable; empty before the first. */
    public String shown() {
        return shown;
    }

    @Override
    public void close() {
        socket.close();
    }

    private void listen() {
        DatagramPacket packet = new DatagramPacket(new byte[65_536], 65_536);
        try {
            while (true) {
                packet.setLength(65_536);
                socket.receive(packet);
                long nanos = System.nanoTime();
                shown = readable(Arrays.copyOf(packet.getData(), packet.getLength()));
                heard.add(new Heard(shown, nanos));
            }
        } catch (IOException e) {
            // closed: the lamp is off
        }
    }

    private static String readable(byte[] datagram) {
        if (datagram.length > 0 && datagram[0] != '/' && datagram[0] != '#') {
            return new String(datagram, StandardCharsets.UTF_8).strip();
        }
        try {
            return OscReader.read(datagram).toString();
        } catch (IllegalArgumentException e) {
            return "not OSC: " + e.getMessage();
        }
    }
}
