package instep.input;

import io.netty.channel.IoEventLoop;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * Watches a few files that people edit: through the folders in which they stand, since editors put another file in the place of the old one. A folder that is gone is looked for until it
 * is back. Costs nothing while nothing changes. Loop thread only.
 */
public final class FileWatch implements AutoCloseable {
    /** Who is told. */
    public interface Listener {
        /**
         * One of the files may be another one now.
         *
         * @param writing whether somebody still writes it
         */
        void changed(boolean writing);

        /** Changes will not be seen; why, in a sentence. */
        void blind(String sentence);
    }

    private static final long RETRY_SECONDS = 5;

    private final IoEventLoop loop;
    private final List<Path> files;
    private final Listener listener;
    private @Nullable Inotify inotify;
    private boolean isRetried;
    private boolean closed;

    /** Nothing is watched before {@link #start}. */
    public FileWatch(IoEventLoop loop, List<Path> files, Listener listener) {
        this.loop = loop;
        this.files = List.copyOf(files);
        this.listener = listener;
    }

    /** Begins to watch. */
    public void start() {
        try {
            inotify = Inotify.open(loop, new Notices());
            watch();
        } catch (IOException e) {
            listener.blind(String.valueOf(e.getMessage()));
        }
    }

    @Override
    public void close() {
        closed = true;
        if (inotify != null) {
            inotify.close();
        }
    }

    /** The folders of the names, and of what they lead to if they are links. */
    private Set<Path> places() {
        Set<Path> places = new HashSet<>();
        for (Path file : files) {
            places.add(file.toAbsolutePath().normalize());
            try {
                places.add(file.toRealPath());
            } catch (IOException e) {
                // It is not there now; its folder may be.
            }
        }
        return places;
    }

    private void watch() throws IOException {
        boolean isMissing = false;
        for (Path place : places()) {
            Path folder = place.getParent();
            if (folder != null && inotify != null) {
                inotify.watchWriters(folder);
                isMissing |= !Files.isDirectory(folder);
            }
        }
        if (isMissing) {
            retry();
        }
    }

    @SuppressWarnings("FutureReturnValueIgnored")
    private void retry() {
        if (isRetried || closed) {
            return;
        }
        isRetried = true;
        loop.schedule(
                () -> {
                    isRetried = false;
                    if (!closed) {
                        watchAgain();
                        listener.changed(false);
                    }
                },
                RETRY_SECONDS,
                TimeUnit.SECONDS);
    }

    private void watchAgain() {
        try {
            watch();
        } catch (IOException e) {
            listener.blind(String.valueOf(e.getMessage()));
        }
    }

    private final class Notices implements Inotify.Listener {
        @Override
        public void changed(Path directory, String name, boolean gone) {
            if (isOurs(directory, name)) {
                watchAgain(); // a link may lead elsewhere now
                listener.changed(false);
            }
        }

        @Override
        public void writing(Path directory, String name) {
            if (isOurs(directory, name)) {
                listener.changed(true);
            }
        }

        @Override
        public void overflowed() {
            watchAgain();
            listener.changed(false);
        }

        @Override
        public void lost(Path directory) {
            retry();
            listener.changed(false);
        }

        private boolean isOurs(Path directory, String name) {
            return places().contains(directory.resolve(name));
        }
    }
}
