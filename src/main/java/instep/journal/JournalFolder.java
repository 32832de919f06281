package instep.journal;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Comparator;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;

/** The folder in which journals and event logs lie. */
public final class JournalFolder {
    private static final String LOCK = "journal.lock";
    private static final Pattern JOURNAL =
            Pattern.compile("journal-([0-9]{4}-[0-9]{2}-[0-9]{2})(?:\\.([0-9]{1,9}))?\\.jsonl");

    /** The order in which they were written. */
    static final Comparator<Path> ORDER =
            Comparator.comparing(JournalFolder::day).thenComparing(JournalFolder::number);

    private JournalFolder() {}

    /** Makes the folder if it is not there. */
    static void make(Path folder) throws JournalException {
        try {
            Files.createDirectories(folder);
        } catch (IOException e) {
            throw JournalException.unwritable(folder, e);
        }
    }

    /**
     * Takes the folder for this process until the channel is closed. The lock has a file of its own: closing any channel of a locked file
     * would give the lock up, and the journal may be read by the process that writes it.
     */
    static FileChannel lock(Path folder) throws JournalException {
        make(folder);
        try {
            FileChannel channel =
                    FileChannel.open(folder.resolve(LOCK), StandardOpenOption.CREATE, StandardOpenOption.WRITE);
            if (isLocked(channel)) {
                return channel;
            }
            channel.close();
        } catch (IOException e) {
            throw JournalException.unwritable(folder, e);
        }
        throw new JournalException("another instep is keeping its journal in " + folder.toAbsolutePath()
                + ": stop that one first, or name another folder.");
    }

    private static boolean isLocked(FileChannel channel) throws IOException {
        try {
            FileLock lock = channel.tryLock();
            return lock != null;
        } catch (OverlappingFileLockException e) {
            return false;
        }
    }

    /** The journal files of a folder, the oldest first. */
    public static List<Path> journals(Path folder) throws JournalException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.filter(file -> JOURNAL.matcher(name(file)).matches())
                    .sorted(ORDER)
                    .toList();
        } catch (IOException e) {
            throw new JournalException("cannot read the folder " + folder.toAbsolutePath() + ": "
                    + JournalException.reason(e)
                    + (e instanceof AccessDeniedException
                            ? ". " + JournalException.NOT_OF_THE_GROUP
                            : ". Name the folder that instep keeps its journal in."));
        }
    }

    /** Those that may hold records of a day, such as {@code 2026-03-02}, or of later ones, the oldest first. */
    static List<Path> since(Path folder, String day) throws JournalException {
        return journals(folder).stream()
                .filter(file -> day(file).compareTo(day) >= 0)
                .toList();
    }

    /** A file of a day, the first being 1. */
    static Path file(Path folder, String day, int number) {
        return folder.resolve("journal-" + day + (number > 1 ? "." + number : "") + ".jsonl");
    }

    /** The day that it is named for. */
    static String day(Path file) {
        return matcher(file).group(1);
    }

    /** Which of its day it is, from 1. */
    static int number(Path file) {
        String number = matcher(file).group(2);
        return number == null ? 1 : Integer.parseInt(number);
    }

    /** Whether a file has such a name as one of a journal. */
    static boolean isJournal(Path file) {
        return JOURNAL.matcher(name(file)).matches();
    }

    /** The name of the file of the same day before that one, which is not the first. */
    static String before(Path file) {
        return name(file(file, day(file), number(file) - 1));
    }

    private static Matcher matcher(Path file) {
        Matcher matcher = JOURNAL.matcher(name(file));
        if (!matcher.matches()) {
            throw new IllegalArgumentException(file + " is no file of a journal");
        }
        return matcher;
    }

    private static String name(Path file) {
        return String.valueOf(file.getFileName());
    }
}
