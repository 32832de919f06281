package instep.after;

import instep.journal.Entry;
import instep.journal.Key;
import instep.report.LinkFigures;
import instep.report.Spread;
import instep.report.Trail;
import instep.report.Trouble;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import java.util.TreeSet;

/** What happens beside the cuts of a take, or of the part of one that a run has recorded, while it is read. What it holds does not grow with the number of records. Not thread-safe. */
final class TakeTrail {
    /** More faults than that nobody reads. */
    private static final int MOST_TROUBLES = 200;
    /** Gear answers soon or not at all: older messages are forgotten. */
    private static final int MOST_WAITING = 512;
    /** As many gears as no studio has; what a damaged journal may name beyond them is left out. */
    private static final int MOST_LINKS = 256;

    /** What is known of a gear. */
    private static final class Link {
        private final boolean up;
        private final Spread sent = new Spread();
        private final Spread answered = new Spread();
        private final Spread confirmed = new Spread();
        private final Map<Long, Long> waiting = new LinkedHashMap<>() {
            @Override
            protected boolean removeEldestEntry(Map.Entry<Long, Long> eldest) {
                return size() > MOST_WAITING;
            }
        };
        private long missed;
        private long refused;
        private long losses;
        private boolean stands;

        Link(boolean up) {
            this.up = up;
            stands = up;
        }

        /** Whether it was lost; that it cannot be made again, for another reason, is no other loss. */
        boolean breaks() {
            boolean broke = stands;
            stands = false;
            losses += broke ? 1 : 0;
            return broke;
        }

        void goOnWith(Link later) {
            sent.add(later.sent);
            answered.add(later.answered);
            confirmed.add(later.confirmed);
            missed += later.missed;
            refused += later.refused;
            losses += later.losses;
        }

        LinkFigures figures(String gear) {
            return new LinkFigures(gear, up, sent, answered, confirmed, missed, refused, losses);
        }
    }

    private final String speed;
    private final Map<String, Boolean> standing;
    private final Map<String, Link> links = new LinkedHashMap<>();
    private final List<Trouble> troubles = new ArrayList<>();
    private final SyncTrail sync;
    private long more;

    /**
     * A take begins.
     *
     * @param speed how much faster than life time runs; empty: not at all
     * @param standing by gear, whether its link stands
     */
    TakeTrail(String speed, Map<String, Boolean> standing, SyncTrail sync) {
        this.speed = speed;
        this.standing = Map.copyOf(standing);
        this.sync = sync;
    }

    void accept(Entry entry) {
        sync.accept(entry);
        String gear = entry.text(Key.GEAR).orElse("");
        OptionalLong ticket = entry.number(Key.TICKET);
        switch (entry.kind()) {
            case SENT -> {
                entry.number(Key.LATENCY_US).ifPresent(link(gear).sent::add);
                ticket.ifPresent(of -> link(gear).waiting.putIfAbsent(of, entry.mono()));
            }
            case REPLY -> ticket.ifPresent(of -> answered(link(gear), of, entry.mono()));
            case CONFIRMED -> entry.number(Key.LATENCY_US).ifPresent(link(gear).confirmed::add);
            case MISSED -> {
                link(gear).missed++;
                trouble(
                        entry,
                        gear,
                        entry.text(Key.WHAT).orElse("") + ": "
                                + entry.text(Key.WHY).orElse(""));
            }
            case FAULT -> {
                if (ticket.isPresent() && !gear.isEmpty()) {
                    link(gear).refused++;
                }
                trouble(entry, gear, entry.text(Key.TEXT).orElse(""));
            }
            case LINK -> {
                if (entry.text(Key.STATE).orElse("").equals("up")) {
                    link(gear).stands = true;
                } else if (link(gear).breaks()) {
                    trouble(entry, gear, "lost: " + entry.text(Key.WHY).orElse(""));
                }
            }
            case DEVICE -> {
                if (!entry.text(Key.STATE).orElse("").equals("up")) {
                    trouble(
                            entry,
                            entry.text(Key.PEDAL).orElse(""),
                            entry.text(Key.STATE).orElse(""));
                }
            }
            default -> {}
        }
    }

    /** The same take, as a later run went on with it. */
    void goOnWith(TakeTrail later) {
        later.links.forEach((gear, link) -> link(gear).goOnWith(link));
        later.troubles.forEach(this::add);
        more += later.more;
        sync.goOnWith(later.sync);
    }

    /** All that is known. */
    Trail trail() {
        standing.forEach((gear, up) -> link(gear));
        List<LinkFigures> figures = new ArrayList<>();
        for (String gear : new TreeSet<>(links.keySet())) {
            figures.add(links.getOrDefault(gear, new Link(true)).figures(gear));
        }
        return new Trail(speed, figures, sync.quality(), troubles, more);
    }

    private static void answered(Link link, long ticket, long mono) {
        Long sent = link.waiting.remove(ticket);
        if (sent != null) {
            link.answered.add((mono - sent) / 1_000);
        }
    }

    private Link link(String gear) {
        if (links.size() >= MOST_LINKS && !links.containsKey(gear)) {
            return new Link(true);
        }
        return links.computeIfAbsent(gear, name -> new Link(standing.getOrDefault(name, true)));
    }

    private void trouble(Entry entry, String gear, String text) {
        add(new Trouble(sync.frame(entry), entry.kind().word(), gear, text));
    }

    private void add(Trouble trouble) {
        if (troubles.size() == MOST_TROUBLES) {
            more++;
        } else {
            troubles.add(trouble);
        }
    }
}
