package instep.input;

import io.netty.channel.IoEventLoop;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * The kernel's notices of what happens in directories, on the loop. Loop thread only.
 *
 * <pre>
 * struct inotify_event: 0 4 watch | 4 4 mask | 8 4 cookie | 12 4 length of the name with its padding | 16 name, 0, ...
 * </pre>
 */
final class Inotify implements LoopSource.Reading {
    /** Who is told. */
    interface Listener {
        /** A file or directory came, went or had its attributes changed. */
        void changed(Path directory, String name, boolean gone);

        /** Notices were lost: anything may have changed. */
        void overflowed();

        /** A file is being written; it is told as changed when it is closed. */
        default void writing(Path directory, String name) {}

        /** The directory itself had its attributes changed: what is in it may be for others to read now. */
        default void attributes(Path directory) {}

        /** The directory is gone, or another one stands in its place. */
        default void lost(Path directory) {}
    }

    private static final int MODIFY = 0x2;
    private static final int ATTRIB = 0x4;
    private static final int CLOSE_WRITE = 0x8;
    private static final int MOVED_FROM = 0x40;
    private static final int MOVED_TO = 0x80;
    private static final int CREATE = 0x100;
    private static final int DELETE = 0x200;
    private static final int MOVE_SELF = 0x800;
    private static final int OVERFLOW = 0x4000;
    private static final int IGNORED = 0x8000;
    private static final int ONLY_DIRECTORY = 0x1000000;
    private static final int HEADER = 16;

    private final Listener listener;
    private final ByteBuffer buffer = ByteBuffer.allocateDirect(4096).order(ByteOrder.nativeOrder());
    private final Map<Integer, Path> watches = new HashMap<>();
    private int fd;
    private @Nullable LoopSource source;

    private Inotify(Listener listener) {
        this.listener = listener;
    }

    static Inotify open(IoEventLoop loop, Listener listener) throws IOException {
        int fd = Libc.inotify_init1(Libc.O_NONBLOCK | Libc.O_CLOEXEC);
        if (fd < 0) {
            throw new IOException("inotify_init1: " + Libc.words(Libc.errno()));
        }
        Inotify inotify = new Inotify(listener);
        inotify.fd = fd;
        inotify.source = LoopSource.start(loop, fd, inotify, gone -> {});
        return inotify;
    }

    /** Whether the directory is watched from now on and was not before; false also when it is not there, or may not be read. */
    boolean watch(Path directory) throws IOException {
        return watch(directory, CREATE | ATTRIB | DELETE | MOVED_TO | MOVED_FROM | ONLY_DIRECTORY);
    }

    /** The same, and who writes into files of it is told, too. */
    boolean watchWriters(Path directory) throws IOException {
        return watch(
                directory,
                MODIFY | CLOSE_WRITE | CREATE | ATTRIB | DELETE | MOVED_TO | MOVED_FROM | MOVE_SELF | ONLY_DIRECTORY);
    }

    private boolean watch(Path directory, int mask) throws IOException {
        if (watches.containsValue(directory)) {
            return false;
        }
        int watch = Libc.inotify_add_watch(fd, directory.toString(), mask);
        if (watch < 0) {
            int errno = Libc.errno();
            if (errno == Libc.ENOENT || errno == Libc.ENOTDIR || errno == Libc.EACCES) {
                return false;
            }
            throw new IOException("inotify on " + directory + ": " + Libc.words(errno));
        }
        watches.put(watch, directory);
        return true;
    }

    /** Whether notices of that directory come. */
    boolean isWatched(Path directory) {
        return watches.containsValue(directory);
    }

    /** The directory of that name is another one now, or none: the old one may live on for as long as somebody has a file in it open. */
    void forget(Path directory) {
        watches.values().remove(directory);
    }

    @Override
    public ByteBuffer buffer() {
        return buffer;
    }

    @Override
    public void received(int bytes) {
        for (int at = 0; at + HEADER <= bytes; at += HEADER + buffer.getInt(at + 12)) {
            event(buffer.getInt(at), buffer.getInt(at + 4), name(at + HEADER, buffer.getInt(at + 12)));
        }
    }

    private void event(int watch, int mask, String name) {
        if ((mask & OVERFLOW) != 0) {
            listener.overflowed();
        } else if ((mask & (IGNORED | MOVE_SELF)) != 0) {
            Path gone = watches.remove(watch); // the directory itself is gone, or elsewhere
            if (gone != null) {
                listener.lost(gone);
            }
        } else {
            Path directory = watches.get(watch);
            if (directory != null && (mask & MODIFY) != 0) {
                listener.writing(directory, name);
            } else if (directory != null && name.isEmpty()) {
                listener.attributes(directory);
            } else if (directory != null) {
                listener.changed(directory, name, (mask & (DELETE | MOVED_FROM)) != 0);
            }
        }
    }

    private String name(int at, int length) {
        int end = at;
        while (end < at + length && buffer.get(end) != 0) {
            end++;
        }
        byte[] bytes = new byte[end - at];
        buffer.get(at, bytes);
        return new String(bytes, StandardCharsets.UTF_8);
    }

    @Override
    public void vanished(long nanos) {
        // an inotify descriptor does not vanish
    }

    void close() {
        if (source != null) {
            source.close();
        }
    }
}
