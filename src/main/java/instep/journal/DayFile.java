package instep.journal;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Optional;

/**
 * The journal file of one day, open for appending whole lines. A write that fails leaves no half line that a later one would be appended
 * to. Used by one thread at a time.
 */
final class DayFile implements Closeable {
    private final String day;
    private final FileChannel channel;
    private final Disk disk;
    private final Optional<TornTail> tornTail;
    private long end;
    private boolean partial;

    private DayFile(String day, FileChannel channel, Disk disk, Optional<TornTail> tornTail) throws IOException {
        this.day = day;
        this.channel = channel;
        this.disk = disk;
        this.tornTail = tornTail;
        this.end = channel.size();
    }

    static Path path(Path folder, String day) {
        return folder.resolve("journal-" + day + ".jsonl");
    }

    /** Opens the file of the day, new or to go on with. */
    static DayFile open(Path folder, String day, Disk disk) throws IOException {
        Path file = path(folder, day);
        boolean isNew = !Files.exists(file);
        FileChannel channel =
                FileChannel.open(file, StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE);
        try {
            DayFile opened = new DayFile(day, channel, disk, Recovery.cutTornTail(file, channel));
            if (isNew) {
                forceFolder(folder);
            }
            return opened;
        } catch (IOException | RuntimeException e) {
            channel.close();
            throw e;
        }
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
