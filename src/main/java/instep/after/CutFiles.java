package instep.after;

import instep.cutlist.Timeline;
import instep.edit.Format;
import instep.edit.Written;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/** The files that a cut list is written to. A file is whole or not there, and none that was there before is lost unless that was asked for. */
public final class CutFiles {
    /** A file that must not be overwritten. */
    public static final class ExistsException extends IOException {
        private ExistsException(Path file) {
            super(file + " is there already; --replace writes over it");
        }
    }

    private final List<Path> asked;
    private final boolean replace;
    private final Set<Path> written = new HashSet<>();
    private final Set<String> losses = new LinkedHashSet<>();

    /** Writes into files of these names, all of which end as one of the formats does. */
    public CutFiles(List<Path> asked, boolean replace) {
        this.asked = List.copyOf(asked);
        this.replace = replace;
    }

    /**
     * Writes a take; gives the names of the files.
     *
     * @param several whether there are other takes, so that the names must tell them apart
     */
    public List<Path> write(Timeline timeline, boolean several) throws IOException {
        List<Path> files = new ArrayList<>();
        for (Path file : asked) {
            Format format = Format.of(file.toString()).orElseThrow();
            Written all = format.write(timeline);
            String name = name(file);
            String stem = name.substring(0, name.length() - format.suffix().length());
            String take = several ? "-take" + timeline.take().number() : "";
            String free = free(file, stem + take, format);
            for (Written.Document document : all.documents()) {
                String tag = document.tag().isEmpty() ? "" : "-" + document.tag();
                Path target = file.resolveSibling(free + tag + format.suffix());
                put(target, document.text());
                files.add(target);
            }
            all.losses().forEach(loss -> losses.add("the " + format.suffix() + " file: " + loss));
        }
        return files;
    }

    /** What could not be said, a sentence for each format and thing. */
    public Set<String> losses() {
        return losses;
    }

    /** Two days may have takes of the same number. */
    private String free(Path file, String stem, Format format) {
        String free = stem;
        for (int number = 2; !written.add(file.resolveSibling(free + format.suffix())); number++) {
            free = stem + "-" + number;
        }
        return free;
    }

    private void put(Path target, String text) throws IOException {
        if (!replace && Files.exists(target)) {
            throw new ExistsException(target);
        }
        Path part = target.resolveSibling(name(target) + ".part");
        try {
            Files.writeString(part, text, StandardCharsets.UTF_8);
            Files.move(part, target, StandardCopyOption.REPLACE_EXISTING);
        } catch (IOException e) {
            Files.deleteIfExists(part);
            throw new IOException("cannot write " + target + ": " + reason(e), e);
        }
    }

    private static String reason(IOException e) {
        return e instanceof java.nio.file.NoSuchFileException
                ? "there is no such folder"
                : e.getClass().getSimpleName() + " " + e.getMessage();
    }

    private static String name(Path file) {
        Path name = file.getFileName();
        return name == null ? "" : name.toString();
    }
}
