package instep.daemon;

import com.fasterxml.jackson.jr.ob.JSON;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.net.HttpURLConnection;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** Somebody who looks at the desk page all the time, and comes again when it is gone: what it was told last. */
final class SoakViewer implements AutoCloseable {
    private static final String DATA = "data:";

    private final URI page;
    private final Thread thread = new Thread(this::look, "viewer");
    private volatile Map<String, Object> state = Map.of();
    private final AtomicLong visits = new AtomicLong();
    private volatile boolean over;
    private volatile @Nullable HttpURLConnection stream;

    SoakViewer(int port) {
        page = URI.create("http://127.0.0.1:" + port);
        thread.setDaemon(true);
        thread.start();
    }

    private void look() {
        while (!over) {
            try {
                visit();
            } catch (IOException e) {
                // It is not there, or has gone: after a while, again.
                LockSupport.parkNanos(100_000_000L);
            }
        }
    }

    private void visit() throws IOException {
        HttpURLConnection events =
                (HttpURLConnection) page.resolve("/events").toURL().openConnection();
        stream = events;
        try (BufferedReader in =
                new BufferedReader(new InputStreamReader(events.getInputStream(), StandardCharsets.UTF_8))) {
            visits.incrementAndGet();
            for (String line = in.readLine(); line != null; line = in.readLine()) {
                if (line.startsWith(DATA)) {
                    hear(JSON.std.mapFrom(line.substring(DATA.length()).strip()));
                }
            }
        }
    }

    /** News has everything; in between, only the time is told. */
    private void hear(Map<String, Object> told) {
        if (told.containsKey("onAir")) {
            state = told;
        }
    }

    /** How often it has come to the page. */
    long visits() {
        return visits.get();
    }

    /** The angle that is on air, as the page has it. */
    String angle() {
        return String.valueOf(part("onAir").get("angle"));
    }

    boolean isTakeOpen() {
        return Boolean.TRUE.equals(part("take").get("open"));
    }

    long take() {
        return part("take").get("number") instanceof Number number ? number.longValue() : -1;
    }

    /** What the page says of those links and pedals of these names that are not as they should be. */
    List<String> troubles(String... names) {
        return Stream.of(names)
                .filter(name -> !isFine("links", name) && !isFine("pedals", name))
                .map(name -> name + ": " + state.get("links") + ", " + state.get("pedals"))
                .toList();
    }

    private boolean isFine(String list, String name) {
        return state.get(list) instanceof List<?> parts
                && parts.stream()
                        .anyMatch(part -> part instanceof Map<?, ?> map
                                && name.equals(map.get("name"))
                                && Boolean.TRUE.equals(map.get("fine")));
    }

    @SuppressWarnings("unchecked") // the names of a JSON object are text
    private Map<String, Object> part(String name) {
        return state.get(name) instanceof Map<?, ?> map ? (Map<String, Object>) map : Map.of();
    }

    /** What a program that looks after the desk gets. */
    String get(String path) throws IOException {
        HttpURLConnection asked = (HttpURLConnection) page.resolve(path).toURL().openConnection();
        InputStream answer = asked.getResponseCode() < 400 ? asked.getInputStream() : asked.getErrorStream();
        try (BufferedReader in = new BufferedReader(new InputStreamReader(answer, StandardCharsets.UTF_8))) {
            return String.join("\n", in.lines().toList());
        }
    }

    @Override
    public void close() {
        over = true;
        HttpURLConnection last = stream;
        if (last != null) {
            last.disconnect();
        }
    }
}
