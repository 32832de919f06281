package instep.after;

import instep.cutlist.Take;
import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.TakeEvents;
import instep.report.Trail;
import instep.time.FrameRate;
import java.util.ArrayDeque;
import java.util.Collections;
import java.util.Deque;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** Follows a journal for what happens beside the cuts, take by take. Records are given in its order. Not thread-safe. */
public final class TakeTrails {
    /** The kinds of records that say something about it. */
    public static final Set<Kind> KINDS = Collections.unmodifiableSet(EnumSet.of(
            Kind.START,
            Kind.TAKE_OPEN,
            Kind.TAKE_CLOSE,
            Kind.SENT,
            Kind.REPLY,
            Kind.CONFIRMED,
            Kind.MISSED,
            Kind.FAULT,
            Kind.LINK,
            Kind.DEVICE,
            Kind.SYNC,
            Kind.CUT,
            Kind.MARK));
    /** As many gears as no studio has. */
    private static final int MOST_LINKS = 256;

    /** By part of a take. */
    private final Deque<TakeTrail> begun = new ArrayDeque<>();

    private final Map<String, Boolean> standing = new LinkedHashMap<>();
    private @Nullable TakeTrail open;
    private FrameRate rate = FrameRate.R25;
    private String speed = "";
    private Optional<Entry> sync = Optional.empty();

    public void accept(Entry entry) {
        switch (entry.kind()) {
            case START -> {
                open = null;
                standing.clear();
                rate = entry.text(Key.RATE).flatMap(FrameRate::named).orElse(rate);
                speed = entry.text(Key.SPEED).orElse("");
                sync = Optional.empty();
            }
            case TAKE_OPEN -> begin(entry);
            default -> {}
        }
        if (open != null) {
            open.accept(entry);
        }
        remember(entry);
    }

    private void begin(Entry entry) {
        if (TakeEvents.isBeginning(entry)) {
            open = new TakeTrail(speed, standing, new SyncTrail(rate, sync, entry));
            begun.add(open);
        }
    }

    private void remember(Entry entry) {
        switch (entry.kind()) {
            case LINK -> {
                String gear = entry.text(Key.GEAR).orElse("");
                if (standing.containsKey(gear) || standing.size() < MOST_LINKS) {
                    standing.put(gear, entry.text(Key.STATE).orElse("").equals("up"));
                }
            }
            case SYNC -> sync = Optional.of(entry);
            case TAKE_CLOSE -> open = null;
            default -> {}
        }
    }

    /** What happened in a take: the first that was not yet asked for, with all its parts. */
    public Trail of(Take take) {
        TakeTrail trail = begun.remove();
        for (int part = 1; part < take.parts(); part++) {
            trail.goOnWith(begun.remove());
        }
        return trail.trail();
    }
}
