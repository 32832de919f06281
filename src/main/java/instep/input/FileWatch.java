package instep.input;

import io.netty.channel.IoEventLoop;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * Watches a few files that people edit: through the folders in which they stand, since editors put another file in the place of the old one, and those of the links that lead there. Where a folder is
 * gone or cannot be watched, it is looked every few seconds whether the files are others. Costs nothing while nothing changes. Loop thread only.
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

        /** Changes are seen some seconds late from now on; why, in a sentence. Told once. */
        void late(String sentence);
    }

    private static final long RETRY_SECONDS = 5;

    private final IoEventLoop loop;
    private final List<Path> files;
    private final Listener listener;
    private @Nullable Inotify inotify;
    private Set<Path> places = Set.of();
    /** The folders above those places, by whose names another tree can come in their stead. */
    private Set<Path> above = Set.of();
    /** Which folder stood at a path when it was watched: a moved one goes on telling of what is in it. */
    private final Map<Path, String> watched = new HashMap<>();

    private final Set<Path> lightly = new HashSet<>();
    private List<String> stamps = List.of();
    private boolean isLate;
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
        stamps = stamps();
        watch();
    }

    /** Looks whether what is watched is still what the paths lead to. */
    public void again() {
        if (inotify != null) {
            watch();
        }
    }

    @Override
    public void close() {
        closed = true;
        if (inotify != null) {
            inotify.close();
        }
    }

    private List<String> stamps() {
        return files.stream().map(Route::stamp).toList();
    }

    private void watch() {
        places = files.stream().flatMap(file -> Route.to(file).stream()).collect(Collectors.toUnmodifiableSet());
        above = places.stream().flatMap(FileWatch::above).collect(Collectors.toUnmodifiableSet());
        boolean isMissing = false;
        try {
            Inotify notices = inotify == null ? Inotify.open(loop, new Notices()) : inotify;
            inotify = notices;
            for (Path place : places) {
                isMissing |= !isWatched(notices, place.getParent());
            }
            for (Path folder : above) {
                watchName(notices, folder);
            }
        } catch (IOException e) {
            isMissing = true;
            late(String.valueOf(e.getMessage()));
        }
        if (isMissing) {
            retry();
        } else {
            isLate = false;
        }
    }

    private boolean isWatched(Inotify notices, @Nullable Path folder) throws IOException {
        if (folder == null) {
            return true;
        }
        String which = Route.folder(folder);
        if (!which.equals(watched.put(folder, which)) || lightly.remove(folder)) {
            notices.forget(folder);
        }
        notices.watchWriters(folder);
        boolean isWatched = notices.isWatched(folder);
        if (!isWatched && Files.isDirectory(folder)) {
            late("the folder " + folder + " may not be read by this user");
        }
        return isWatched;
    }

    /** Of the folder above it only comings and goings are told. What may not be read up there is not looked after: few rename it. */
    private void watchName(Inotify notices, Path folder) throws IOException {
        Path parent = folder.getParent();
        if (parent != null) {
            String which = Route.folder(parent);
            if (!which.equals(watched.put(parent, which))) {
                notices.forget(parent);
            }
            if (notices.watch(parent)) {
                lightly.add(parent);
            }
        }
    }

    private static Stream<Path> above(Path place) {
        return Stream.iterate(place.getParent(), Objects::nonNull, Path::getParent);
    }

    private void late(String why) {
        if (!isLate) {
            isLate = true;
            listener.late(why);
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
                        watch();
                        compare();
                    }
                },
                RETRY_SECONDS,
                TimeUnit.SECONDS);
    }

    private void compare() {
        List<String> now = stamps();
        if (!now.equals(stamps)) {
            stamps = now;
            listener.changed(false);
        }
    }

    private final class Notices implements Inotify.Listener {
        @Override
        public void changed(Path directory, String name, boolean gone) {
            if (isOurs(directory, name)) {
                watch(); // a link may lead elsewhere now
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
        public void attributes(Path directory) {
            watch();
            listener.changed(false);
        }

        @Override
        public void overflowed() {
            watch();
            listener.changed(false);
        }

        @Override
        public void lost(Path directory) {
            retry();
            listener.changed(false);
        }

        private boolean isOurs(Path directory, String name) {
            Path path = directory.resolve(name);
            return places.contains(path) || above.contains(path);
        }
    }
}
