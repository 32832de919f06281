package instep.daemon;

import java.io.Closeable;
import java.io.EOFException;
import java.io.IOException;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;

/**
 * The private far end of a warm-up: sockets of this machine that nobody else knows. What they are sent is forgotten. Blocks, though never for long;
 * for one thread.
 */
final class FarEnd implements Closeable {
    private static final int PATIENCE_MILLIS = 3_000;

    private final ServerSocket lines = new ServerSocket();
    private final ServerSocket requests = new ServerSocket();
    private final DatagramSocket datagrams = new DatagramSocket(null);
    private final byte[] heard = new byte[4_096];

    private FarEnd() throws IOException {}

    /** Sockets on free ports. */
    static FarEnd open() throws IOException {
        FarEnd far = new FarEnd();
        try {
            InetSocketAddress free = new InetSocketAddress(InetAddress.getLoopbackAddress(), 0);
            far.lines.bind(free);
            far.requests.bind(free);
            far.datagrams.bind(free);
            return far;
        } catch (IOException e) {
            far.close();
            throw e;
        }
    }

    String host() {
        return lines.getInetAddress().getHostAddress();
    }

    int linePort() {
        return lines.getLocalPort();
    }

    int requestPort() {
        return requests.getLocalPort();
    }

    int datagramPort() {
        return datagrams.getLocalPort();
    }

    Socket acceptLines() throws IOException {
        return accept(lines);
    }

    Socket acceptRequests() throws IOException {
        return accept(requests);
    }

    /** Waits for so many bytes. */
    void hear(Socket from, int bytes) throws IOException {
        if (from.getInputStream().readNBytes(heard, 0, bytes) < bytes) {
            throw new EOFException("the connection ended");
        }
    }

    /** Waits for something. */
    void hearSome(Socket from) throws IOException {
        if (from.getInputStream().read(heard) < 0) {
            throw new EOFException("the connection ended");
        }
    }

    private static Socket accept(ServerSocket server) throws IOException {
        server.setSoTimeout(PATIENCE_MILLIS);
        Socket socket = server.accept();
        socket.setSoTimeout(PATIENCE_MILLIS);
        return socket;
    }

    @Override
    public void close() throws IOException {
        lines.close();
        requests.close();
        datagrams.close();
    }
}
