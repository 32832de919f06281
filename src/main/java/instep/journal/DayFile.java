package instep.journal;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.Optional;

/**
 * A journal file of one day, open for appending whole lines. A write that fails leaves no half line that a later one would be appended
 * to. Used by one thread at a time.
 */
final class DayFile implements Closeable {
    private final Path folder;
    private final Path path;
    private final String day;
    private final FileChannel channel;
    private final Disk disk;
    private final Optional<TornTail> tornTail;
    private long end;
    private boolean partial;

    private DayFile(Path folder, Path path, String day, FileChannel channel, Disk disk, Optional<TornTail> tornTail)
            throws IOException {
        this.folder = folder;
        this.path = path;
        this.day = day;
        this.channel = channel;
        this.disk = disk;
        this.tornTail = tornTail;
        this.end = channel.size();
    }

    /** Opens the day's last file, new or to go on with; that of a later day, if there is one: the order of the files is the order of the records. */
    static DayFile open(Path folder, String day, Disk disk) throws IOException {
        List<Path> files = JournalFolder.since(folder, day);
        Path file = files.isEmpty() ? JournalFolder.file(folder, day, 1) : files.get(files.size() - 1);
        return open(folder, file, JournalFolder.day(file), disk);
    }

    /** Opens the day's file after this one. */
    DayFile next() throws IOException {
        return open(folder, JournalFolder.file(folder, day, JournalFolder.number(path) + 1), day, disk);
    }

    private static DayFile open(Path folder, Path file, String day, Disk disk) throws IOException {
        boolean isNew = !Files.exists(file);
        FileChannel channel =
                FileChannel.open(file, StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE);
        try {
            DayFile opened = new DayFile(folder, file, day, channel, disk, Recovery.cutTornTail(file, channel));
            if (isNew) {
                forceFolder(folder);
            }
            return opened;
        } catch (IOException | RuntimeException e) {
            channel.close();
            throw e;
        }
    }

    Path path() {
        return path;
    }

    /** How many bytes of whole lines it has. */
    long size() {
        return end;
    }

    /** The date in its name, such as {@code 2026-03-02}. */
    String day() {
        return day;
    }

    /** What was cut off when it was opened. */
    Optional<TornTail> tornTail() {
        return tornTail;
    }

    /** Appends all; when it throws, the next call begins where this one began. */
    void append(ByteBuffer lines) throws IOException {
        if (partial) {
            channel.truncate(end);
        }
        partial = true;
        long position = end;
        while (lines.hasRemaining()) {
            position += disk.write(channel, lines, position);
        }
        end = position;
        partial = false;
    }

    void force() throws IOException {
        disk.force(channel);
    }

    @Override
    public void close() throws IOException {
        try (FileChannel closing = channel) {
            if (partial) {
                closing.truncate(end);
            }
        }
    }

    /** A new file is safe only when its name is, too. */
    private static void forceFolder(Path folder) throws IOException {
        try (FileChannel names = FileChannel.open(folder, StandardOpenOption.READ)) {
            names.force(true);
        }
    }
}
