package instep.desk;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.Map;

/** The files of the page. They hold nothing that is secret. */
final class Page {
    private static final String HTML = "text/html; charset=utf-8";

    /** What is asked for, and the file for it. */
    private static final Map<String, Page> FILES = Map.of(
            "/", new Page("desk.html", HTML),
            "/glance", new Page("glance.html", HTML),
            "/desk.css", new Page("desk.css", "text/css; charset=utf-8"),
            "/desk.js", new Page("desk.js", "text/javascript; charset=utf-8"),
            "/enter.js", new Page("enter.js", "text/javascript; charset=utf-8"));

    /** What asks for the token. */
    static final Page ENTER = new Page("enter.html", HTML);

    private final String type;
    private final byte[] body;

    private Page(String file, String type) {
        this.type = type;
        try (InputStream in = Page.class.getResourceAsStream(file)) {
            if (in == null) {
                throw new IllegalStateException(file + " is not in this jar");
            }
            body = in.readAllBytes();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    static boolean isFile(String path) {
        return FILES.containsKey(path);
    }

    /** Whether somebody looks at it, and must have entered for that. */
    static boolean isView(String path) {
        return path.equals("/") || path.equals("/glance");
    }

    static Page of(String path) {
        Page page = FILES.get(path);
        if (page == null) {
            throw new IllegalArgumentException("no page at " + path);
        }
        return page;
    }

    String type() {
        return type;
    }

    byte[] body() {
        return body;
    }
}
