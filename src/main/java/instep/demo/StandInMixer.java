package instep.demo;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * A vision mixer that is told what to put on air in lines of text. It answers {@code CUT 2} with {@code OK CUT 2} and tells everybody who is connected
 * {@code ONAIR 2}; it answers anything else with {@code ERR what}.
 */
public final class StandInMixer implements StandIn {
    private static final Pattern CUT = Pattern.compile("CUT (\\d{1,3})");

    private final ServerSocket server;
    private final List<Heard> heard = new CopyOnWriteArrayList<>();
    private final List<Socket> connected = new CopyOnWriteArrayList<>();

    private @Nullable Thread listener;

    private StandInMixer(ServerSocket server) {
        this.server = server;
    }

    /** Opens one on a free port. */
    public static StandInMixer open() throws IOException {
        return open(0);
    }

    /** Opens one on that port, as a device does that is switched on again. */
    public static StandInMixer open(int port) throws IOException {
        ServerSocket server = new ServerSocket();
        server.setReuseAddress(true);
        server.bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), port));
        StandInMixer mixer = new StandInMixer(server);
        mixer.listener = inBackground("stand-in-mixer", mixer::accept);
        return mixer;
    }

    @Override
    public int port() {
        return server.getLocalPort();
    }

    @Override
    public List<Heard> received() {
        return List.copyOf(heard);
    }

    @Override
    public void close() {
        closeQuietly(server);
        connected.forEach(StandInMixer::closeQuietly);
        try {
            if (listener != null) {
                listener.join(); // the port is free only when nobody waits at it any more
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    private void accept() throws IOException {
        while (true) {
            Socket socket = server.accept();
            socket.setTcpNoDelay(true);
            connected.add(socket);
            if (server.isClosed()) {
                closeQuietly(socket);
            }
            inBackground("stand-in-mixer-" + socket.getPort(), () -> converse(socket));
        }
    }

    private void converse(Socket socket) throws IOException {
        try (socket;
                BufferedReader in =
                        new BufferedReader(new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8))) {
            for (String line = in.readLine(); line != null; line = in.readLine()) {
                heard.add(new Heard(line, System.nanoTime()));
                obey(line, socket);
            }
        } finally {
            connected.remove(socket);
        }
    }

    private void obey(String line, Socket from) throws IOException {
        Matcher cut = CUT.matcher(line);
        if (!cut.matches()) {
            say("ERR " + line, from);
            return;
        }
        say("OK " + line, from);
        for (Socket each : connected) {
            try {
                say("ONAIR " + cut.group(1), each);
            } catch (IOException e) {
                closeQuietly(each); // its own thread notices
            }
        }
    }

    private static void say(String line, Socket to) throws IOException {
        synchronized (to) { // several clients' threads may have something to tell the same one
            OutputStream out = to.getOutputStream();
            out.write((line + "\r\n").getBytes(StandardCharsets.UTF_8));
            out.flush();
        }
    }

    private static Thread inBackground(String name, Talk talk) {
        Thread thread = new Thread(
                () -> {
                    try {
                        talk.run();
                    } catch (IOException e) {
                        // closed, by us or by the other side: the conversation is over
                    }
                },
                name);
        thread.setDaemon(true);
        thread.start();
        return thread;
    }

    private static void closeQuietly(AutoCloseable what) {
        try {
            what.close();
        } catch (Exception e) {
            // it is of no more use either way
        }
    }

    private interface Talk {
        void run() throws IOException;
    }
}
