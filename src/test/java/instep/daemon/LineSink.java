package instep.daemon;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/** Gear that takes lines over TCP, tells what it has heard, may answer, and can be switched off and on again at its port. */
final class LineSink implements AutoCloseable {
    private final int port;
    private final Function<String, Optional<String>> answer;
    private final List<String> heard = new ArrayList<>();
    private @Nullable ServerSocket server;
    private @Nullable Socket peer;
    private @Nullable Thread thread;

    private LineSink(int port, Function<String, Optional<String>> answer) {
        this.port = port;
        this.answer = answer;
    }

    static LineSink open() throws IOException {
        return open(line -> Optional.empty());
    }

    /** One that answers some of what it is told. */
    static LineSink open(Function<String, Optional<String>> answer) throws IOException {
        LineSink sink = new LineSink(freePort(), answer);
        sink.on();
        return sink;
    }

    static int freePort() throws IOException {
        try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            return free.getLocalPort();
        }
    }

    int port() {
        return port;
    }

    void on() throws IOException {
        ServerSocket now = new ServerSocket();
        now.setReuseAddress(true);
        now.bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), port));
        server = now;
        Thread listener = new Thread(() -> listen(now), "sink");
        listener.setDaemon(true);
        listener.start();
        thread = listener;
    }

    void off() throws IOException, InterruptedException {
        ServerSocket now = server;
        Thread listener = thread;
        if (now != null && listener != null) {
            now.close();
            drop();
            listener.join();
            server = null;
        }
    }

    private synchronized void drop() throws IOException {
        if (peer != null) {
            peer.close();
        }
    }

    private void listen(ServerSocket at) {
        while (!at.isClosed()) {
            try (Socket socket = at.accept()) {
                synchronized (this) {
                    peer = socket;
                    if (at.isClosed()) { // switched off before anybody knew of this one
                        drop();
                    }
                }
                read(socket);
            } catch (IOException e) {
                // Switched off, or the other side has gone: the next one, if there is one.
            } finally {
                synchronized (this) {
                    peer = null;
                }
            }
        }
    }

    private void read(Socket socket) throws IOException {
        BufferedReader in = new BufferedReader(new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8));
        for (String line = in.readLine(); line != null; line = in.readLine()) {
            synchronized (heard) {
                heard.add(line.intern());
            }
            Optional<String> said = answer.apply(line);
            if (said.isPresent()) {
                say(said.get());
            }
        }
    }

    /** Says a line to whoever is connected. */
    synchronized void say(String line) throws IOException {
        if (peer != null) {
            peer.getOutputStream().write((line + "\r\n").getBytes(StandardCharsets.UTF_8));
            peer.getOutputStream().flush();
        }
    }

    /** Whether nobody is connected, and all that was said has been heard. */
    synchronized boolean isAlone() {
        return peer == null;
    }

    int count() {
        synchronized (heard) {
            return heard.size();
        }
    }

    /** The latest line of those that begin so, since {@link #take}. */
    Optional<String> last(String beginning) {
        synchronized (heard) {
            return heard.stream().filter(line -> line.startsWith(beginning)).reduce((first, second) -> second);
        }
    }

    /** What it was told since that was asked last. */
    List<String> take() {
        synchronized (heard) {
            List<String> all = List.copyOf(heard);
            heard.clear();
            return all;
        }
    }

    @Override
    public void close() throws IOException {
        try {
            off();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
