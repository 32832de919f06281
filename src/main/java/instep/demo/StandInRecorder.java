package instep.demo;

import com.fasterxml.jackson.jr.ob.JSON;
import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;

/**
 * A recorder that is told over HTTP to record or to stop. {@code PUT /transport} takes an object with {@code mode} ({@code record} or {@code stop}) and
 * {@code take}, and answers with its state; {@code GET /transport} answers the same. Once {@link #jam jammed}, it answers as politely as before and does not
 * record.
 */
public final class StandInRecorder implements StandIn {
    private final HttpServer server;
    private final ExecutorService thread;
    private final List<Heard> heard = new CopyOnWriteArrayList<>();
    private volatile Map<String, Object> state = state("stop", "");
    private volatile boolean jammed;

    private StandInRecorder(HttpServer server, ExecutorService thread) {
        this.server = server;
        this.thread = thread;
    }

    /** Opens one on a free port. */
    public static StandInRecorder open() throws IOException {
        return open(0);
    }

    /** Opens one on that port, as a device does that is switched on again. */
    public static StandInRecorder open(int port) throws IOException {
        HttpServer server = HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), port), 0);
        ExecutorService thread = Executors.newSingleThreadExecutor(task -> {
            Thread daemon = new Thread(task, "stand-in-recorder");
            daemon.setDaemon(true);
            return daemon;
        });
        StandInRecorder recorder = new StandInRecorder(server, thread);
        server.createContext("/", recorder::answer);
        server.setExecutor(thread);
        server.start();
        return recorder;
    }

    /** Its disk is full, say: it stops, and does not record any more. */
    public void jam() {
        jammed = true;
        state = state("stop", "");
    }

    @Override
    public int port() {
        return server.getAddress().getPort();
    }

    @Override
    public List<Heard> received() {
        return List.copyOf(heard);
    }

    @Override
    public void close() {
        server.stop(0);
        thread.shutdownNow();
    }

    private void answer(HttpExchange exchange) throws IOException {
        try (exchange) {
            String body = new String(exchange.getRequestBody().readAllBytes(), StandardCharsets.UTF_8);
            String asked = exchange.getRequestMethod() + " " + exchange.getRequestURI();
            heard.add(new Heard((asked + " " + body).strip(), System.nanoTime()));
            if (!exchange.getRequestURI().getPath().equals("/transport")) {
                say(exchange, 404, Map.of("error", "there is only /transport"));
            } else if (exchange.getRequestMethod().equals("PUT")) {
                put(exchange, body);
            } else if (exchange.getRequestMethod().equals("GET")) {
                say(exchange, 200, state);
            } else {
                exchange.getResponseHeaders().set("Allow", "GET, PUT");
                say(exchange, 405, Map.of("error", "only GET and PUT"));
            }
        }
    }

    private void put(HttpExchange exchange, String body) throws IOException {
        Map<String, Object> wanted;
        try {
            wanted = JSON.std.mapFrom(body);
        } catch (IOException e) {
            say(exchange, 400, Map.of("error", "that is no JSON object"));
            return;
        }
        String mode = String.valueOf(wanted.get("mode"));
        if (!mode.equals("record") && !mode.equals("stop")) {
            say(exchange, 400, Map.of("error", "mode is record or stop"));
            return;
        }
        Object take = wanted.get("take");
        state = jammed ? state : state(mode, take == null ? "" : take.toString());
        say(exchange, 200, state);
    }

    private static Map<String, Object> state(String mode, String take) {
        Map<String, Object> state = new LinkedHashMap<>();
        state.put("mode", mode);
        state.put("take", take);
        return state;
    }

    private static void say(HttpExchange exchange, int status, Map<String, Object> object) throws IOException {
        byte[] body = JSON.std.asBytes(object);
        exchange.getResponseHeaders().set("Content-Type", "application/json");
        exchange.sendResponseHeaders(status, body.length);
        exchange.getResponseBody().write(body);
    }
}
