package instep.config;

import instep.cutlist.MediaList;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;

/** Writes the text that {@link MediaFile} reads, so that a person can read and correct it. */
public final class MediaText {
    private static final String HEAD = """
            # Which recorded files show which angle in which take. Correct it as you like: file is a path (a relative one starts from this file's folder), start the
            # file's own timecode at its first frame, frames its length, and at, where it differs, what the journal's timecode was then. Of files that overlap the first counts.
            media: 1
            takes:
            """;

    private final Path folder;
    private final StringBuilder out = new StringBuilder(HEAD);

    private MediaText(Path folder) {
        this.folder = folder;
    }

    /**
     * The text.
     *
     * @param folder in which it will lie; the paths of files in it are written as they are seen from there
     * @param unused remarks about files that are not in the list
     */
    public static String of(MediaList list, Path folder, List<String> unused) {
        MediaText text = new MediaText(folder.toAbsolutePath().normalize());
        list.takes().forEach(text::take);
        if (list.takes().isEmpty()) {
            text.out.setLength(text.out.length() - 1);
            text.out.append(" []\n");
        }
        unused.forEach(
                line -> text.out.append("# not used: ").append(plain(line)).append('\n'));
        return text.out.toString();
    }

    private void take(MediaList.InTake take) {
        out.append("  - take: ").append(take.take()).append('\n');
        out.append("    day: ").append(take.day()).append('\n');
        out.append("    rate: ").append(take.rate().label()).append('\n');
        out.append("    from: \"").append(take.from()).append("\"\n");
        out.append(take.angles().isEmpty() ? "    angles: {}\n" : "    angles:\n");
        for (Map.Entry<String, MediaList.Files> angle : take.angles().entrySet()) {
            out.append("      ").append(quoted(angle.getKey())).append(":\n");
            files("proxy", angle.getValue().proxies());
            files("original", angle.getValue().originals());
        }
    }

    private void files(String sort, List<MediaList.Held> files) {
        out.append("        ").append(sort).append(files.isEmpty() ? ": []\n" : ":\n");
        for (MediaList.Held file : files) {
            out.append("          - { file: ").append(quoted(seen(file.file())));
            out.append(", start: \"")
                    .append(file.start())
                    .append("\", frames: ")
                    .append(file.frames());
            if (!file.at().equals(file.start())) {
                out.append(", at: \"").append(file.at()).append('"');
            }
            out.append(" }\n");
        }
    }

    private String seen(String file) {
        Path path = Path.of(file);
        return path.isAbsolute() && path.startsWith(folder)
                ? folder.relativize(path).toString()
                : file;
    }

    /** A double-quoted scalar (YAML 1.2.2, section 7.3.1), whatever is in it. */
    private static String quoted(String text) {
        StringBuilder quoted = new StringBuilder("\"");
        text.codePoints().forEach(c -> {
            if (c == '"' || c == '\\') {
                quoted.append('\\').appendCodePoint(c);
            } else if (c < ' ' || (c >= 0x7f && c < 0xa0) || c == 0x2028 || c == 0x2029 || c == 0xfeff) {
                quoted.append(String.format("\\u%04x", c));
            } else {
                quoted.appendCodePoint(c);
            }
        });
        return quoted.append('"').toString();
    }

    private static String plain(String text) {
        return text.replaceAll("[\\p{Cntrl}\\u2028\\u2029\\ufeff]", "?");
    }
}
