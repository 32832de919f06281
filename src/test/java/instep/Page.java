package instep;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.regex.Pattern;
import java.util.stream.Stream;

/** A page of the documentation, as tests read it. */
public record Page(Path file, String text) {
    /** Each fence with the next one: a block with another tag must not be taken for the end of one. */
    private static final Pattern FENCED = Pattern.compile("^```(\\w*)\n(.*?)^```", Pattern.DOTALL | Pattern.MULTILINE);

    private static final Set<String> TYPED = Set.of("", "sh");

    static Page of(Path file) throws IOException {
        return new Page(file, Files.readString(file));
    }

    /** The README, and all that is in {@code docs}. */
    public static List<Page> ofUsers() throws IOException {
        List<Page> pages = new ArrayList<>(List.of(of(Path.of("README.md"))));
        try (Stream<Path> docs = Files.list(Path.of("docs"))) {
            for (Path file : docs.filter(file -> file.toString().endsWith(".md"))
                    .sorted()
                    .toList()) {
                pages.add(of(file));
            }
        }
        return pages;
    }

    /** The blocks in which there may be something to type: those of a shell, and those that say nothing of what they are. */
    public List<String> blocks() {
        return FENCED.matcher(text)
                .results()
                .filter(block -> TYPED.contains(block.group(1)))
                .map(block -> block.group(2))
                .toList();
    }
}
