package instep.gear;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/** A device that speaks in lines and answers as the test says: an answer, or nothing. */
final class LinePeer implements AutoCloseable {
    private final ServerSocket server = new ServerSocket(0, 5, InetAddress.getLoopbackAddress());
    private final Function<String, @Nullable String> answer;
    final List<String> heard = new CopyOnWriteArrayList<>();
    final List<Socket> connected = new CopyOnWriteArrayList<>();

    LinePeer(Function<String, @Nullable String> answer) throws IOException {
        this.answer = answer;
        Thread thread = new Thread(this::accept, "line-peer");
        thread.setDaemon(true);
        thread.start();
    }

    int port() {
        return server.getLocalPort();
    }

    private void accept() {
        try {
            while (true) {
                Socket socket = server.accept();
                connected.add(socket);
                Thread thread = new Thread(() -> converse(socket), "line-peer-talk");
                thread.setDaemon(true);
                thread.start();
            }
        } catch (IOException e) {
            // closed
        }
    }

    private void converse(Socket socket) {
        try (BufferedReader in =
                new BufferedReader(new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8))) {
            for (String line = in.readLine(); line != null; line = in.readLine()) {
                heard.add(line);
                String words = answer.apply(line);
                if (words != null) {
                    socket.getOutputStream().write((words + "\r\n").getBytes(StandardCharsets.UTF_8));
                }
            }
        } catch (IOException e) {
            // closed
        }
    }

    @Override
    public void close() throws IOException {
        server.close();
        for (Socket socket : connected) {
            socket.close();
        }
    }
}
