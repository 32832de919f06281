package instep.desk;

import com.fasterxml.jackson.jr.ob.JSON;
import java.io.BufferedReader;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.WebSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Base64;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionStage;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;

/** Debian's chromium without a screen, led over its DevTools protocol. */
public final class Browser implements AutoCloseable, WebSocket.Listener {
    private static final String LISTENS = "DevTools listening on ws://";
    private static final long PATIENCE_SECONDS = 10;

    private final Process process;
    private final HttpClient http = HttpClient.newHttpClient();
    private final AtomicInteger calls = new AtomicInteger();
    private final Map<Integer, CompletableFuture<Map<String, Object>>> answers = new ConcurrentHashMap<>();
    private final List<String> complaints = new CopyOnWriteArrayList<>();
    private final StringBuilder partly = new StringBuilder();
    private final WebSocket socket;
    private volatile CompletableFuture<Void> loaded = new CompletableFuture<>();

    private Browser(Process process, String address) throws IOException, InterruptedException {
        this.process = process;
        HttpRequest request = HttpRequest.newBuilder(URI.create("http://" + address + "/json/new?about:blank"))
                .PUT(HttpRequest.BodyPublishers.noBody())
                .build();
        String page = http.send(request, HttpResponse.BodyHandlers.ofString()).body();
        URI debugger = URI.create(String.valueOf(JSON.std.mapFrom(page).get("webSocketDebuggerUrl")));
        socket = http.newWebSocketBuilder().buildAsync(debugger, this).join();
        call("Page.enable", Map.of());
        call("Runtime.enable", Map.of());
        call("Log.enable", Map.of());
        // Keys go to the page that is in front, and only there does a script run at its full pace.
        call("Page.bringToFront", Map.of());
        call("Emulation.setFocusEmulationEnabled", Map.of("enabled", true));
    }

    /** Starts one with a profile of its own in that folder. */
    public static Browser start(Path folder) throws IOException, InterruptedException {
        Process process = new ProcessBuilder(
                        "chromium",
                        "--headless=new",
                        "--no-sandbox",
                        "--disable-gpu",
                        "--disable-dev-shm-usage",
                        "--hide-scrollbars",
                        "--no-first-run",
                        "--disable-background-networking",
                        "--remote-debugging-port=0",
                        "--user-data-dir=" + folder.resolve("profile"),
                        "about:blank")
                .redirectErrorStream(true)
                .start();
        BufferedReader out = process.inputReader();
        for (String line = out.readLine(); line != null; line = out.readLine()) {
            if (line.startsWith(LISTENS)) {
                String address = line.substring(LISTENS.length());
                drain(out);
                return new Browser(process, address.substring(0, address.indexOf('/')));
            }
        }
        throw new IOException("chromium has ended");
    }

    private static void drain(BufferedReader out) {
        Thread drain = new Thread(() -> out.lines().forEach(line -> {}), "chromium-output");
        drain.setDaemon(true);
        drain.start();
    }

    /** Calls a method of the protocol. */
    public Map<String, Object> call(String method, Map<String, Object> parameters) {
        int id = calls.incrementAndGet();
        CompletableFuture<Map<String, Object>> answer = new CompletableFuture<>();
        answers.put(id, answer);
        Map<String, Object> message = new LinkedHashMap<>();
        message.put("id", id);
        message.put("method", method);
        message.put("params", parameters);
        try {
            socket.sendText(JSON.std.asString(message), true).join();
        } catch (IOException e) {
            throw new IllegalStateException(e);
        }
        return answer.orTimeout(PATIENCE_SECONDS, TimeUnit.SECONDS).join();
    }

    /** Shows a page on a screen of that size. */
    public void show(String address, int width, int height, boolean phone) {
        call(
                "Emulation.setDeviceMetricsOverride",
                Map.of("width", width, "height", height, "deviceScaleFactor", phone ? 2 : 1, "mobile", phone));
        loaded = new CompletableFuture<>();
        call("Page.navigate", Map.of("url", address));
        loaded.orTimeout(PATIENCE_SECONDS, TimeUnit.SECONDS).join();
    }

    /** Whether the person wants it dark or light. */
    public void scheme(String scheme) {
        call(
                "Emulation.setEmulatedMedia",
                Map.of("features", List.of(Map.of("name", "prefers-color-scheme", "value", scheme))));
    }

    /** What an expression of the page's script is; promises are waited for. What is asked while the browser goes to another page may never be answered, and throws. */
    public Object value(String expression) {
        Map<String, Object> answer =
                call("Runtime.evaluate", Map.of("expression", expression, "returnByValue", true, "awaitPromise", true));
        if (answer.containsKey("exceptionDetails") || !(answer.get("result") instanceof Map<?, ?> result)) {
            throw new IllegalStateException(answer.toString());
        }
        return String.valueOf(result.get("value"));
    }

    /** The text of the element of that name. */
    public String text(String id) {
        return value("(document.getElementById('" + id + "') || {textContent: ''}).textContent")
                .toString();
    }

    public void press(String key, int code) {
        Map<String, Object> down = Map.of(
                "type", "keyDown", "key", key, "windowsVirtualKeyCode", code, "text", key.equals("Enter") ? "\r" : "");
        call("Input.dispatchKeyEvent", down);
        call("Input.dispatchKeyEvent", Map.of("type", "keyUp", "key", key, "windowsVirtualKeyCode", code));
    }

    /** Takes a picture of what is on the screen. */
    public void picture(Path file) throws IOException {
        save(file, call("Page.captureScreenshot", Map.of("format", "png")));
    }

    /** Takes a picture of the page down to its end. */
    public void whole(Path file) throws IOException {
        save(
                file,
                call("Page.captureScreenshot", Map.of("format", "png", "captureBeyondViewport", true, "clip", size())));
    }

    private Map<String, Object> size() {
        Object height = value("document.documentElement.scrollHeight");
        Object width = value("innerWidth");
        return Map.of("x", 0, "y", 0, "width", number(width), "height", number(height), "scale", 1);
    }

    private static int number(Object value) {
        return Integer.parseInt(value.toString());
    }

    /** Prints the page, as a PDF. */
    public void print(Path file) throws IOException {
        save(file, call("Page.printToPDF", Map.of("preferCSSPageSize", true)));
    }

    private static void save(Path file, Map<String, Object> answer) throws IOException {
        Files.createDirectories(file.toAbsolutePath().getParent());
        Files.write(file, Base64.getDecoder().decode(String.valueOf(answer.get("data"))));
    }

    /** What the browser did not like about the page. */
    public List<String> complaints() {
        return new ArrayList<>(complaints);
    }

    @Override
    public CompletionStage<?> onText(WebSocket webSocket, CharSequence data, boolean last) {
        partly.append(data);
        if (last) {
            String text = partly.toString();
            partly.setLength(0);
            take(text);
        }
        webSocket.request(1);
        return CompletableFuture.completedFuture(null);
    }

    private void take(String text) {
        try {
            Map<String, Object> message = JSON.std.mapFrom(text);
            if (message.get("id") instanceof Integer id) {
                CompletableFuture<Map<String, Object>> answer = answers.getOrDefault(id, new CompletableFuture<>());
                if (message.get("result") instanceof Map<?, ?> result) {
                    Map<String, Object> fields = new LinkedHashMap<>();
                    result.forEach((key, value) -> fields.put(key.toString(), value));
                    answer.complete(fields);
                } else {
                    answer.completeExceptionally(new IllegalStateException(text));
                }
            } else if ("Page.loadEventFired".equals(message.get("method"))) {
                loaded.complete(null);
            } else if (isComplaint(String.valueOf(message.get("method")), text)) {
                complaints.add(text);
            }
        } catch (IOException e) {
            throw new IllegalStateException(e);
        }
    }

    /** A desk that is switched off, and a token that is not right, are no fault of the page's. */
    private static boolean isComplaint(String method, String text) {
        boolean network = text.contains("\"source\":\"network\"") || text.contains("\"source\":\"recommendation\"");
        return "Runtime.exceptionThrown".equals(method) || ("Log.entryAdded".equals(method) && !network);
    }

    @Override
    public void close() {
        socket.abort();
        process.descendants().forEach(ProcessHandle::destroyForcibly);
        process.destroyForcibly();
    }
}
