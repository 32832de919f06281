package instep.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Optional;

/**
 * Finds where the whole lines of a journal file end, from its end backwards, so that the time it takes depends on the damage and not on the
 * file.
 */
final class Recovery {
    private static final int BLOCK = 64 * 1024;
    /** Longer than any line that is written; what claims to be longer is not read into memory. */
    private static final int LONGEST = 64 * 1024 * 1024;

    private final FileChannel channel;

    private Recovery(FileChannel channel) {
        this.channel = channel;
    }

    /** Moves what follows the last whole line into a file beside it; empty if nothing does. */
    static Optional<TornTail> cutTornTail(Path file, FileChannel channel) throws IOException {
        long end = new Recovery(channel).endOfLastWholeLine();
        long bytes = channel.size() - end;
        if (bytes == 0) {
            return Optional.empty();
        }
        Path beside = file.resolveSibling(file.getFileName() + ".torn");
        try (FileChannel kept = FileChannel.open(
                beside, StandardOpenOption.CREATE, StandardOpenOption.WRITE, StandardOpenOption.APPEND)) {
            copy(channel, end, kept);
            kept.force(false);
        }
        channel.truncate(end);
        channel.force(false);
        return Optional.of(new TornTail(file, bytes, beside));
    }

    private static void copy(FileChannel from, long start, FileChannel to) throws IOException {
        long position = start;
        while (position < from.size()) {
            position += from.transferTo(position, from.size() - position, to);
        }
    }

    private long endOfLastWholeLine() throws IOException {
        long feed = lineFeedBefore(channel.size());
        while (feed >= 0) {
            long start = lineFeedBefore(feed) + 1;
            if (isWhole(start, feed)) {
                return feed + 1;
            }
            feed = start - 1;
        }
        return 0;
    }

    private boolean isWhole(long start, long feed) throws IOException {
        if (feed - start > LONGEST) {
            return false;
        }
        int length = (int) (feed - start);
        return LineChecksum.holds(read(start, length), 0, length);
    }

    /** Where the last line feed before a position is; -1 if there is none. */
    private long lineFeedBefore(long position) throws IOException {
        long end = position;
        while (end > 0) {
            long start = Math.max(0, end - BLOCK);
            byte[] block = read(start, (int) (end - start));
            for (int i = block.length - 1; i >= 0; i--) {
                if (block[i] == '\n') {
                    return start + i;
                }
            }
            end = start;
        }
        return -1;
    }

    private byte[] read(long start, int length) throws IOException {
        ByteBuffer bytes = ByteBuffer.allocate(length);
        boolean more = true;
        while (more && bytes.hasRemaining()) {
            more = channel.read(bytes, start + bytes.position()) >= 0;
        }
        return bytes.array();
    }
}
