package instep.journal;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.stream.Stream;

/** The folder in which journals and event logs lie. */
public final class JournalFolder {
    private static final String LOCK = "journal.lock";
    private static final String JOURNALS = "journal-[0-9]{4}-[0-9]{2}-[0-9]{2}\\.jsonl";

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
            return files.filter(f -> f.getFileName().toString().matches(JOURNALS))
                    .sorted()
                    .toList();
        } catch (IOException e) {
            throw new JournalException("cannot read the folder " + folder.toAbsolutePath() + ": "
                    + JournalException.reason(e) + ". Name the folder that instep keeps its journal in.");
        }
    }
}
