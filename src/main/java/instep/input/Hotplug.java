package instep.input;

import io.netty.channel.IoEventLoop;
import java.io.IOException;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** Watches device nodes come, change and go, and the links that lead to them. Loop thread only. */
final class Hotplug implements Inotify.Listener {
    /** Who is told. */
    interface Listener {
        /** An event node, such as {@code event3}, came, went, or has other permissions. */
        void eventNode(String file, boolean gone);

        /** The same for a raw node, such as {@code hidraw0}. */
        void rawNode(String file, boolean gone);

        /** The same for a raw MIDI node, such as {@code midiC1D0}. */
        default void midiNode(String file, boolean gone) {}

        /** Anything may have changed. */
        void everything();
    }

    private final Sysfs sysfs;
    private final Set<Path> links;
    private final Set<Path> directories = new HashSet<>();
    private final Listener listener;
    private final Inotify inotify;

    /**
     * Begins to watch.
     *
     * @param links paths that are not nodes themselves but may come to lead to one
     */
    Hotplug(IoEventLoop loop, Sysfs sysfs, List<Path> links, Listener listener) throws IOException {
        this.sysfs = sysfs;
        this.links = Set.copyOf(links);
        this.listener = listener;
        directories.add(sysfs.dev());
        directories.add(sysfs.input());
        directories.add(sysfs.sound());
        for (Path link : links) {
            Path parent = link.getParent();
            if (parent != null) {
                directories.add(parent);
            }
        }
        inotify = Inotify.open(loop, this);
        try {
            watchAll();
        } catch (IOException e) {
            inotify.close();
            throw e;
        }
    }

    @Override
    public void changed(Path directory, String name, boolean gone) {
        Path path = directory.resolve(name);
        if (directory.equals(sysfs.input()) && name.matches(Sysfs.EVENT)) {
            listener.eventNode(name, gone);
        } else if (directory.equals(sysfs.dev()) && name.matches(Sysfs.RAW)) {
            listener.rawNode(name, gone);
        } else if (directory.equals(sysfs.sound()) && name.matches(Sysfs.MIDI)) {
            listener.midiNode(name, gone);
        }
        if (directories.contains(path)) {
            inotify.forget(path);
        }
        boolean watchedMore = !gone && directories.contains(path) && watchNew();
        if (watchedMore || links.contains(path)) {
            listener.everything();
        }
    }

    @Override
    public void overflowed() {
        watchNew();
        listener.everything();
    }

    void close() {
        inotify.close();
    }

    private boolean watchNew() {
        try {
            return watchAll();
        } catch (IOException e) {
            return true; // what is there now can be taken up all the same
        }
    }

    private boolean watchAll() throws IOException {
        boolean added = false;
        for (Path directory : directories) {
            added |= inotify.watch(directory);
        }
        return added;
    }
}
