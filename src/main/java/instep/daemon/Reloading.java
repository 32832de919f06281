package instep.daemon;

import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Running;
import instep.config.Settings;
import instep.gear.Rack;
import instep.input.FileWatch;
import instep.journal.Happening;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * Brings a changed configuration into force while the desk runs: waits until nobody writes the files any more, reads and checks them on another thread, and has them take the place of the
 * old ones between two events, outside of a take. What is wrong with them is told, and the old ones stay. Loop thread only.
 */
final class Reloading implements FileWatch.Listener, AutoCloseable {
    /** How the fault begins that tells of a changed configuration with mistakes. */
    static final String NOT_TAKEN = "the changed configuration was not taken up";

    /** How the note ends that the files are those in force again. */
    static final String NOTHING_NEW = "nothing to reload";

    /** So long nothing may have changed before a file is read. */
    static final long QUIET_NANOS = TimeUnit.MILLISECONDS.toNanos(300);
    /** A file that somebody keeps open is read all the same after so long without a change. */
    private static final long OPEN_NANOS = TimeUnit.SECONDS.toNanos(10);

    private static final long GESTURE_NANOS = TimeUnit.MILLISECONDS.toNanos(50);
    /** A contact that never comes to rest does not hold up a configuration for longer than three seconds. */
    private static final int MOST_WAITS = 60;

    private static final int MOST_FAULTS = 6;

    /** The desk that is running. */
    interface Desk {
        /** In force now. */
        Settings settings();

        /** What the gear in force now lacks for other settings; blocks, and is called on another thread. */
        Rack.Parts parts(Settings next);

        Switchboard switchboard();

        void note(Happening what);

        /** Somebody has asked for the files to be read, and now they are. */
        void begins();

        /** What they hold is in force, or has been refused, or waits for the end of a take; the journal says which. */
        void ends();

        /** Brings them into force. */
        void swap(Settings next, Rack.Parts parts);
    }

    /** What was read: settings with what they need, or words for what is wrong. */
    private record Found(@Nullable Settings settings, Rack.@Nullable Parts parts, String fault) {}

    private final Loop loop;
    private final List<Path> files;
    private final Desk desk;
    private final FileWatch watch;

    /** What has been asked for since the last look began, and by whom. */
    private boolean isDue;

    private boolean isAsked;
    private boolean isReading;
    private long lastChange;
    private long patience = QUIET_NANOS;
    private boolean isTimed;

    private @Nullable Found next;
    private boolean isTold;
    private int waits;
    private String lastFault = "";
    private boolean closed;

    Reloading(Loop loop, List<Path> files, Desk desk) {
        this.loop = loop;
        this.files = List.copyOf(files);
        this.desk = desk;
        watch = new FileWatch(loop.eventLoop(), files, this);
    }

    /** Begins to watch the files, where the loop can. */
    void start() {
        if (loop.readsDevices()) {
            watch.start();
        }
    }

    @Override
    public void close() {
        closed = true;
        watch.close();
    }

    /** Somebody asks for it, whether or not anything has changed. */
    void ask() {
        isAsked = true;
        isDue = true;
        look();
    }

    @Override
    public void changed(boolean writing) {
        isDue = true;
        lastChange = loop.now();
        patience = writing ? OPEN_NANOS : QUIET_NANOS;
        waitForQuiet();
    }

    @Override
    public void blind(String sentence) {
        desk.note(Happening.fault("changes of " + desk.settings().file() + " will not be seen (" + sentence
                + "): ask for them, with systemctl reload or kill -HUP"));
    }

    private void waitForQuiet() {
        if (isTimed || closed) {
            return;
        }
        isTimed = true;
        loop.at(loop.now() + QUIET_NANOS, () -> {
            isTimed = false;
            if (loop.now() - lastChange >= patience) {
                look();
            } else {
                waitForQuiet();
            }
        });
    }

    private void look() {
        if (isReading || closed || !isDue) {
            return;
        }
        isDue = false;
        isReading = true;
        boolean asked = isAsked;
        isAsked = false;
        if (asked) {
            desk.begins();
        }
        Settings inForce = desk.settings();
        Thread reader = new Thread(
                () -> {
                    Found found = read(inForce);
                    loop.later(() -> found(found, inForce, asked));
                },
                "instep-reload");
        reader.setDaemon(true);
        reader.start();
    }

    /** On a thread of its own: reading takes longer than anything may that a press could have to wait for. */
    private Found read(Settings inForce) {
        try {
            Settings settings = ConfigReader.read(files);
            if (settings.text().equals(inForce.text())) {
                return new Found(settings, null, "");
            }
            String fixed = fixed(inForce, settings);
            return fixed.isEmpty() ? new Found(settings, desk.parts(settings), "") : new Found(null, null, fixed);
        } catch (ConfigException e) {
            return new Found(null, null, words(e));
        } catch (StackOverflowError e) {
            return new Found(null, null, "it is nested too deeply to be read");
        }
    }

    /** What counts from a start on. */
    private static String fixed(Settings inForce, Settings next) {
        String what = !inForce.timecode().equals(next.timecode())
                ? "timecode"
                : !inForce.journal().equals(next.journal())
                        ? "journal"
                        : !Objects.equals(inForce.desk(), next.desk()) ? "desk" : "";
        return what.isEmpty()
                ? ""
                : next.file() + ": the section " + what + " differs, and that counts from a restart only;"
                        + " restart Instep between two lessons, or set it back";
    }

    private static String words(ConfigException fault) {
        StringBuilder words = new StringBuilder();
        fault.faults().stream()
                .limit(MOST_FAULTS)
                .forEach(one -> words.append(one.place())
                        .append(": ")
                        .append(one.text())
                        .append('\n'));
        int more = fault.faults().size() - MOST_FAULTS;
        return words + (more > 0 ? "and " + more + " more: instep check tells them all\n" : "");
    }

    private void found(Found found, Settings inForce, boolean asked) {
        isReading = false;
        if (closed) {
            return;
        }
        Settings settings = found.settings();
        if (!inForce.text().equals(desk.settings().text())) {
            isDue = true; // another one has come into force meanwhile
            isAsked |= asked;
        } else if (settings == null) {
            refuse(found.fault(), asked);
        } else if (found.parts() == null) {
            unchanged(asked);
        } else {
            lastFault = "";
            next = found;
            isTold = false;
            waits = 0;
            tryNow();
        }
        if (asked && !isAsked) {
            desk.ends();
        }
        look();
    }

    private void refuse(String fault, boolean asked) {
        if (asked || !fault.equals(lastFault)) {
            String text = NOT_TAKEN + "; the one before it stays in force.\n" + fault.stripTrailing();
            desk.note(Happening.configFault(desk.settings().file(), text));
        }
        lastFault = fault;
        next = null;
    }

    private void unchanged(boolean asked) {
        if (asked || next != null || !lastFault.isEmpty()) {
            String file = desk.settings().file();
            desk.note(Happening.configNote(file, file + " is as it is in force: " + NOTHING_NEW));
        }
        lastFault = "";
        next = null;
    }

    /** Between two events, between two gestures and, unless it says otherwise, between two takes. */
    private void tryNow() {
        Found found = next;
        if (found == null || closed) {
            return;
        }
        Settings settings = found.settings();
        Rack.Parts parts = found.parts();
        if (settings == null || parts == null) {
            return;
        }
        Switchboard board = desk.switchboard();
        if (board.isRolling() && settings.running().reload() == Running.Reload.AFTER_TAKE) {
            waitForTake(settings);
        } else if (!board.isBetweenGestures() && waits++ < MOST_WAITS) {
            loop.at(loop.now() + GESTURE_NANOS, this::tryNow);
        } else {
            next = null;
            desk.swap(settings, parts);
        }
    }

    private void waitForTake(Settings settings) {
        if (!isTold) {
            isTold = true;
            desk.note(Happening.note(settings.file() + " has changed and is sound: it comes into force when take "
                    + desk.switchboard().take() + " is over"));
        }
        desk.switchboard().afterTake(() -> loop.later(this::tryNow));
    }
}
