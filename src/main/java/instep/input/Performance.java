package instep.input;

import instep.time.Elapsed;
import instep.time.TimeSyntaxException;
import java.io.IOException;
import java.nio.charset.CharacterCodingException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.regex.Pattern;
import java.util.stream.Collectors;

/**
 * A recorded list of timed edges, in the order of time. Immutable.
 *
 * <pre>
 * # one edge a line: when, which contact, close or open; the rest of a line after a # is remark
 *    0.700  right       close        # seconds from the start, up to nine decimals
 * 1:05.250  floor.left  open         # or minutes and seconds
 * </pre>
 *
 * @param name the file as the user named it
 */
public record Performance(String name, List<Edge> edges) {
    /**
     * A contact closes or opens.
     *
     * @param nanos since the start of the performance
     * @param contact a contact's name, with its pedal's before it and a dot, or without
     */
    public record Edge(long nanos, String contact, boolean closed) {}

    private static final Pattern CONTACT = Pattern.compile("[\\p{L}0-9_-]+(?:\\.[\\p{L}0-9_-]+)?");

    public Performance {
        edges = List.copyOf(edges);
    }

    /** Bytes of a file: a hundred thousand edges, fifty lessons of an hour. It is held in memory as a whole. */
    private static final long MOST_BYTES = 2L << 20;

    /** Reads a file in UTF-8. */
    public static Performance read(Path file) throws PerformanceException {
        return parse(file.toString(), text(file));
    }

    /** The text of a file in UTF-8 of at most 2 MiB. */
    public static String text(Path file) throws PerformanceException {
        try {
            if (Files.size(file) > MOST_BYTES) {
                throw new PerformanceException(
                        file.toString(), 0, "is larger than 2 MiB, more than any feet do: cut it into shorter ones");
            }
            return Files.readString(file);
        } catch (NoSuchFileException e) {
            throw new PerformanceException(file.toString(), 0, "there is no such file");
        } catch (CharacterCodingException e) {
            throw new PerformanceException(file.toString(), 0, "this is not text in UTF-8");
        } catch (IOException e) {
            throw new PerformanceException(file.toString(), 0, "cannot be read: " + e);
        }
    }

    /** Reads a text that came from the file {@code name}; throws at the first line that is not an edge. */
    public static Performance parse(String name, String text) throws PerformanceException {
        List<Edge> edges = new ArrayList<>();
        String[] lines = text.replaceFirst("^\uFEFF", "").split("\\R", -1);
        long before = 0;
        for (int i = 0; i < lines.length; i++) {
            String line = lines[i].replaceFirst("#.*", "").strip();
            if (line.isEmpty()) {
                continue;
            }
            Edge edge = new Line(name, i + 1).edge(line);
            if (edge.nanos < before) {
                throw new PerformanceException(
                        name,
                        i + 1,
                        "time goes back: " + Elapsed.text(edge.nanos) + " comes after " + Elapsed.text(before));
            }
            before = edge.nanos;
            edges.add(edge);
        }
        return new Performance(name, edges);
    }

    /** The contacts that it names, as it names them, in the order in which they are first pressed. */
    public Set<String> contacts() {
        return edges.stream()
                .map(Edge::contact)
                .collect(Collectors.collectingAndThen(
                        Collectors.toCollection(LinkedHashSet::new), Collections::unmodifiableSet));
    }

    /** The time of the last edge in nanoseconds; 0 if there is none. */
    public long length() {
        return edges.isEmpty() ? 0 : edges.get(edges.size() - 1).nanos;
    }

    /** The same as a text that {@link #parse} reads; remarks are not kept. */
    public String toText() {
        return edges.stream()
                .map(edge -> Elapsed.text(edge.nanos) + " " + edge.contact + (edge.closed ? " close\n" : " open\n"))
                .collect(Collectors.joining());
    }

    /** A line and its place, for faults. */
    private record Line(String file, int number) {
        Edge edge(String line) throws PerformanceException {
            String[] words = line.split("\\s+");
            if (words.length != 3) {
                throw fault("expected a time, a contact and close or open, such as: 0.700 right close");
            }
            long nanos = nanos(words[0]);
            if (!CONTACT.matcher(words[1]).matches()) {
                throw fault("\"" + words[1] + "\" cannot be a contact; expected a name such as right or floor.right");
            }
            return switch (words[2]) {
                case "close" -> new Edge(nanos, words[1], true);
                case "open" -> new Edge(nanos, words[1], false);
                default -> throw fault("\"" + words[2] + "\" is neither close nor open");
            };
        }

        private long nanos(String word) throws PerformanceException {
            try {
                return Elapsed.parse(word);
            } catch (TimeSyntaxException e) {
                throw fault(String.valueOf(e.getMessage()));
            }
        }

        private PerformanceException fault(String sentence) {
            return new PerformanceException(file, number, sentence);
        }
    }
}
