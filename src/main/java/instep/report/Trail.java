package instep.report;

import java.util.List;

/**
 * What happened beside the cuts during a take.
 *
 * @param speed how much faster than life time ran, as in a demo; empty: not at all
 * @param troubles the first of what needed attention, in the order of the journal
 * @param more how much there was beyond these
 */
public record Trail(String speed, List<LinkFigures> links, SyncFigures sync, List<Trouble> troubles, long more) {
    public Trail {
        links = List.copyOf(links);
        troubles = List.copyOf(troubles);
    }
}
