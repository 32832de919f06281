package instep.journal;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/** Goes through a journal from its first record to its last: through one file, or all those of a folder. Memory does not grow with the journal. */
public final class JournalScan {
    /** Who looks at what stands there, in the order of the files. */
    public interface Visitor {
        /** The next record and where it stands, lines counted from 1. */
        void entry(Path file, long line, Entry entry) throws IOException;

        /** A line that is not what was written; the scan goes on below it. */
        void damaged(DamagedLineException what) throws IOException;

        /** Records of kinds that were not asked for stood before the next one; the latest has this monotonic time. */
        default void passed(long mono) throws IOException {}

        /** So many bytes stand after the file's last line feed: a line that is being written, or was when the power went. */
        default void torn(Path file, long bytes) throws IOException {}
    }

    private JournalScan() {}

    /** The files of a journal that is named by its folder or by one of its files. */
    public static List<Path> files(Path place) throws JournalException {
        return Files.isRegularFile(place) ? List.of(place) : JournalFolder.journals(place);
    }

    /** Shows all of it to the visitor. */
    public static void of(Path place, Visitor visitor) throws IOException {
        of(place, EnumSet.allOf(Kind.class), visitor);
    }

    /** Shows the visitor the records of these kinds. */
    public static void of(Path place, Set<Kind> wanted, Visitor visitor) throws IOException {
        for (Path file : files(place)) {
            try (JournalReader reader = JournalReader.open(file, wanted)) {
                while (step(file, reader, visitor)) {
                    // until its end
                }
                if (reader.tornBytes() > 0) {
                    visitor.torn(file, reader.tornBytes());
                }
            }
        }
    }

    /** Shows the next line; false after the last whole one. */
    static boolean step(Path file, JournalReader reader, Visitor visitor) throws IOException {
        try {
            Optional<Entry> entry = reader.next();
            if (reader.passed().isPresent()) {
                visitor.passed(reader.passed().getAsLong());
            }
            if (entry.isPresent()) {
                visitor.entry(file, reader.line(), entry.get());
            }
            return entry.isPresent();
        } catch (DamagedLineException e) {
            if (reader.passed().isPresent()) {
                visitor.passed(reader.passed().getAsLong());
            }
            visitor.damaged(e);
            return true;
        }
    }
}
