package instep.desk;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.Socket;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/** Somebody who asks the page over a plain socket, so that any bytes can be sent. */
final class Visitor implements AutoCloseable {
    /** Stands for a connection that was reset in place of an answer. */
    static final int CUT_OFF = 499;

    private static final int PATIENCE_MILLIS = 30_000;

    private final Socket socket;
    private final BufferedReader in;

    private Visitor(Socket socket) throws IOException {
        this.socket = socket;
        socket.setSoTimeout(PATIENCE_MILLIS);
        // A byte is a character here, so that what was read can be counted.
        in = new BufferedReader(new InputStreamReader(socket.getInputStream(), StandardCharsets.ISO_8859_1));
    }

    /** What was answered; the names of headers are in lower case. */
    record Answer(int status, Map<String, String> headers, String body) {
        String header(String name) {
            return headers.getOrDefault(name, "");
        }
    }

    static Visitor at(DeskPage page) throws IOException {
        URI address = page.address().orElseThrow();
        return new Visitor(new Socket(InetAddress.getLoopbackAddress(), address.getPort()));
    }

    /** Asks once, with the Host that it needs and further lines of a head. */
    static Answer get(DeskPage page, String path, String... head) throws IOException {
        return ask(page, "GET " + path + " HTTP/1.1", "", head);
    }

    static Answer post(DeskPage page, String path, String body, String... head) throws IOException {
        return ask(page, "POST " + path + " HTTP/1.1", body, head);
    }

    private static Answer ask(DeskPage page, String first, String body, String... head) throws IOException {
        StringBuilder request = new StringBuilder(first).append("\r\n");
        boolean named = false;
        for (String line : head) {
            request.append(line).append("\r\n");
            named |= line.startsWith("Host:");
        }
        if (!named) {
            request.append("Host: ").append(host(page)).append("\r\n");
        }
        request.append("Content-Length: ")
                .append(body.length())
                .append("\r\n\r\n")
                .append(body);
        try (Visitor visitor = at(page)) {
            visitor.say(request.toString());
            return visitor.answer();
        }
    }

    static String host(DeskPage page) {
        return page.address().orElseThrow().getAuthority();
    }

    void say(String text) throws IOException {
        socket.getOutputStream().write(Studio.bytes(text));
        socket.getOutputStream().flush();
    }

    /** Says that and no more, and reads until it is let go: the codes of the answers, as far as they came. */
    List<Integer> saysAndLeaves(byte[] bytes) throws IOException {
        List<Integer> codes = new ArrayList<>();
        try {
            socket.getOutputStream().write(bytes);
            socket.shutdownOutput();
            for (String line = in.readLine(); line != null; line = in.readLine()) {
                if (line.matches("HTTP/1\\.1 [0-9]{3} .*")) {
                    codes.add(Integer.parseInt(line.split(" ")[1]));
                }
            }
        } catch (java.net.SocketException e) {
            codes.add(CUT_OFF);
        }
        return codes;
    }

    /** The head of the next answer. */
    Answer head() throws IOException {
        String first = in.readLine();
        if (first == null) {
            throw new IOException("closed without an answer");
        }
        return new Answer(Integer.parseInt(first.split(" ")[1]), headers(), "");
    }

    /** The next answer. */
    Answer answer() throws IOException {
        Answer head = head();
        return new Answer(head.status(), head.headers(), body(head));
    }

    /** What follows that head. */
    String body(Answer head) throws IOException {
        char[] body = new char[Integer.parseInt(head.headers().getOrDefault("content-length", "0"))];
        int read = 0;
        while (read < body.length && in.read(body, read, 1) > 0) {
            read++;
        }
        return utf8(new String(body, 0, read));
    }

    private static String utf8(String bytes) {
        return new String(bytes.getBytes(StandardCharsets.ISO_8859_1), StandardCharsets.UTF_8);
    }

    private Map<String, String> headers() throws IOException {
        Map<String, String> headers = new LinkedHashMap<>();
        for (String line = in.readLine(); line != null && !line.isEmpty(); line = in.readLine()) {
            int colon = line.indexOf(':');
            headers.put(
                    line.substring(0, colon).toLowerCase(Locale.ROOT),
                    line.substring(colon + 1).strip());
        }
        return headers;
    }

    /** Asks for the stream of events, and has read its head. */
    void follow(DeskPage page) throws IOException {
        say("GET /events HTTP/1.1\r\nHost: " + host(page) + "\r\n\r\n");
        head();
    }

    /** The data of the next event of that name. */
    String event(String name) throws IOException {
        for (String line = in.readLine(); line != null; line = in.readLine()) {
            if (line.equals("event: " + name)) {
                return in.readLine().substring("data: ".length());
            }
        }
        throw new IOException("the stream has ended");
    }

    /** Whether the page has let go, without a word or with one. */
    boolean isLetGo() throws IOException {
        try {
            return in.read() < 0 || in.lines().count() >= 0;
        } catch (java.net.SocketException | UncheckedIOException e) {
            return true;
        }
    }

    boolean isLetGoWithoutAWord() throws IOException {
        try {
            return in.read() < 0;
        } catch (java.net.SocketException e) {
            return true;
        }
    }

    @Override
    public void close() throws IOException {
        socket.close();
    }
}
