package instep.daemon;

import instep.config.Running;
import instep.config.Settings;
import instep.gear.Rack;
import instep.input.FileWatch;
import instep.journal.Happening;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * Brings a changed configuration into force while the desk runs: waits until nobody writes the files any more, reads and checks them on another thread, and has them take the place of the
 * old ones between two events, outside of a take. What is wrong with them is told, and the old ones stay. Loop thread only.
 */
final class Reloading implements FileWatch.Listener, AutoCloseable {
    /** How the fault begins that tells of a changed configuration with mistakes. */
    private static final String NOT_TAKEN = "the changed configuration was not taken up";

    /** How the note ends that the files are those in force again. */
    static final String NOTHING_NEW = "nothing to reload";

    /** So long nothing may have changed before a file is read. */
    static final long QUIET_NANOS = TimeUnit.MILLISECONDS.toNanos(300);
    /** A file that somebody keeps open is read all the same after so long without a change. */
    private static final long OPEN_NANOS = TimeUnit.SECONDS.toNanos(10);

    private static final long GESTURE_NANOS = TimeUnit.MILLISECONDS.toNanos(50);
    /** A contact that never comes to rest does not hold up a configuration for longer than three seconds. */
    private static final int MOST_WAITS = 60;

    /** The desk that is running. */
    interface Desk {
        /** In force now. From any thread. */
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

    private final Loop loop;
    private final List<Path> files;
    private final Desk desk;
    private final Optional<LastGood> kept;
    private final FileWatch watch;

    /** What has been asked for since the last look began, and by whom. */
    private boolean isDue;

    private boolean isAsked;
    private boolean isReading;
    private long lastChange;
    private long patience = QUIET_NANOS;
    private boolean isTimed;

    private @Nullable Draft next;
    private boolean isTold;
    private int waits;
    private String lastFault = "";
    private boolean closed;

    /**
     * Nothing is followed yet.
     *
     * @param kept where the text in force is kept for a start with faulty files; empty if it is not
     */
    Reloading(Loop loop, List<Path> files, Desk desk, Optional<LastGood> kept) {
        this.loop = loop;
        this.files = List.copyOf(files);
        this.desk = desk;
        this.kept = kept;
        watch = new FileWatch(loop.eventLoop(), files, this);
    }

    /**
     * Begins to watch the files, where the loop can.
     *
     * @param standIn what is in force in place of the files; empty if that is what they hold
     */
    void start(Optional<LastGood.StandIn> standIn) {
        if (standIn.isPresent()) {
            lastFault = Draft.words(standIn.get().fault());
            String text = standIn.get().sentence() + ".\n" + lastFault.stripTrailing();
            desk.note(Happening.configFault(desk.settings().file(), text));
        } else {
            keep();
        }
        if (loop.readsDevices()) {
            watch.start();
            changed(false); // it may have been saved since it was read, and nobody has told of that
        }
    }

    /** A disk may take its time over it. */
    private void keep() {
        kept.ifPresent(good -> {
            Thread keeper = new Thread(
                    () -> good.keep(desk::settings).ifPresent(why -> loop.later(() -> desk.note(Happening.fault(why)))),
                    "instep-keep");
            keeper.setDaemon(true);
            keeper.start();
        });
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
        watch.again();
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
    public void late(String sentence) {
        desk.note(Happening.fault(
                "changes of " + desk.settings().file() + " are seen some seconds late from now on: " + sentence));
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
                    Draft draft = Draft.read(files, inForce, desk);
                    loop.later(() -> found(draft, inForce, asked));
                },
                "instep-reload");
        reader.setDaemon(true);
        reader.start();
    }

    private void found(Draft draft, Settings inForce, boolean asked) {
        isReading = false;
        if (closed) {
            return;
        }
        Settings settings = draft.settings();
        if (!inForce.text().equals(desk.settings().text())) {
            isDue = true; // another one has come into force meanwhile
            isAsked |= asked;
        } else if (settings == null) {
            refuse(draft.fault(), asked);
        } else if (draft.parts() == null) {
            unchanged(asked);
        } else {
            lastFault = "";
            next = draft;
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
            String dropped = next == null ? "" : ", and the sound one that waited for the end of the take is dropped";
            String text = NOT_TAKEN + "; the one before it stays in force" + dropped + ".\n" + fault.stripTrailing();
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
        Draft draft = next;
        if (draft == null || closed) {
            return;
        }
        Settings settings = draft.settings();
        Rack.Parts parts = draft.parts();
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
            keep();
        }
    }

    private void waitForTake(Settings settings) {
        if (!isTold) {
            isTold = true;
            String when = "it comes into force when take " + desk.switchboard().take() + " is over";
            desk.note(Happening.configNote(settings.file(), settings.file() + " has changed and is sound: " + when));
        }
        desk.switchboard().afterTake(() -> loop.later(this::tryNow));
    }
}
