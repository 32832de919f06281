package instep.journal;

import java.io.ByteArrayOutputStream;
import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/**
 * Follows a log as it grows: over its renaming when a new file begins, over its being cut short, and from the moment it appears if it is not there
 * yet. It looks four times a second. Not thread-safe.
 */
public final class LogFollower implements Closeable {
    /** How long {@link #follow} waits between two looks. */
    public static final long PAUSE_MILLIS = 250;

    private static final int BLOCK = 16 * 1024;

    private final Path path;
    private final Consumer<String> out;
    private final ByteArrayOutputStream line = new ByteArrayOutputStream();
    private final ByteBuffer block = ByteBuffer.allocate(BLOCK);
    private @Nullable FileChannel file;
    private @Nullable Object identity;

    private LogFollower(Path path, Consumer<String> out) {
        this.path = path;
        this.out = out;
    }

    /** Opens a log such that the first look shows its last {@code lines} lines. */
    public static LogFollower open(Path path, int lines, Consumer<String> out) throws IOException {
        LogFollower follower = new LogFollower(path, out);
        FileChannel channel = follower.reopen();
        if (channel != null) {
            channel.position(startOfLast(channel, lines));
        }
        return follower;
    }

    /** Looks again and again until the thread is interrupted. */
    public void follow() throws IOException {
        while (!Thread.currentThread().isInterrupted()) {
            look();
            try {
                Thread.sleep(PAUSE_MILLIS);
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
            }
        }
    }

    /** Hands over every whole line that has come since the last look. */
    public void look() throws IOException {
        FileChannel channel = file == null ? reopen() : file;
        if (channel == null) {
            return;
        }
        if (channel.size() < channel.position()) {
            channel.position(0);
            line.reset();
        }
        drain(channel);
        if (isReplaced()) {
            // What was written between the last read and the renaming is still in the old file.
            drain(channel);
            FileChannel next = reopen();
            if (next != null) {
                drain(next);
            }
        }
    }

    @Override
    public void close() throws IOException {
        if (file != null) {
            file.close();
        }
    }

    private void drain(FileChannel channel) throws IOException {
        while (channel.read(block.clear()) > 0) {
            block.flip();
            while (block.hasRemaining()) {
                byte b = block.get();
                if (b == '\n') {
                    out.accept(line.toString(StandardCharsets.UTF_8));
                    line.reset();
                } else {
                    line.write(b);
                }
            }
        }
    }

    private boolean isReplaced() throws IOException {
        try {
            return !identityNow().equals(identity);
        } catch (NoSuchFileException e) {
            // Between the renaming of the old file and the first line of the new one.
            return false;
        }
    }

    private Object identityNow() throws IOException {
        return Files.readAttributes(path, BasicFileAttributes.class).fileKey();
    }

    /** Opens what bears the name now; null, and the old one stays, if nothing does. */
    private @Nullable FileChannel reopen() throws IOException {
        try {
            Object found = identityNow();
            FileChannel channel = FileChannel.open(path, StandardOpenOption.READ);
            close();
            identity = found;
            file = channel;
            line.reset();
            return channel;
        } catch (NoSuchFileException e) {
            return null;
        }
    }

    private static long startOfLast(FileChannel channel, int lines) throws IOException {
        ByteBuffer one = ByteBuffer.allocate(BLOCK);
        long end = channel.size();
        int feeds = 0;
        while (end > 0) {
            long start = Math.max(0, end - BLOCK);
            one.clear().limit((int) (end - start));
            boolean more = true;
            while (more && one.hasRemaining()) {
                more = channel.read(one, start + one.position()) > 0;
            }
            for (int i = one.position() - 1; i >= 0; i--) {
                if (one.get(i) == '\n' && feeds++ == lines) {
                    return start + i + 1;
                }
            }
            end = start;
        }
        return 0;
    }
}
