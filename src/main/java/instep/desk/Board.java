package instep.desk;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * What the page shows: the latest snapshot, but for the faults that somebody has acknowledged, and what is wrong with the journal at present. Desk thread only.
 */
final class Board {
    private static final String JOURNAL = "journal";
    private static final String JOURNAL_FAULT = "the journal cannot be written";

    private final Desk desk;
    private final Set<Long> acknowledged = new HashSet<>();
    private String acknowledgedTrouble = "";

    Board(Desk desk) {
        this.desk = desk;
    }

    /** All that the page shows, in JSON. */
    String state() {
        return SnapshotJson.state(desk.latest(), open(), desk);
    }

    /** Where time has got to, in JSON. */
    String beat() {
        return SnapshotJson.beat(desk.latest(), desk);
    }

    /** What is wrong with the journal, so that it can be noticed that it has changed. */
    String trouble() {
        return desk.journalTrouble();
    }

    String metrics(MetricsForm form) {
        return Metrics.text(desk.latest().tallies(), desk, form);
    }

    /** What goes on being wrong, a sentence for each. */
    List<String> reasons() {
        List<String> reasons = new ArrayList<>();
        if (!trouble().isEmpty()) {
            reasons.add(JOURNAL_FAULT + ": " + trouble());
        }
        desk.latest().faults().stream()
                .filter(Snapshot.Fault::stands)
                .map(Snapshot.Fault::sentence)
                .forEach(reasons::add);
        return reasons;
    }

    /** Somebody has seen that fault; false if there is none of that number. */
    boolean acknowledge(String number) {
        if (number.equals(JOURNAL)) {
            acknowledgedTrouble = trouble();
            return !acknowledgedTrouble.isEmpty();
        }
        List<Snapshot.Fault> faults = desk.latest().faults();
        acknowledged.retainAll(faults.stream().map(Snapshot.Fault::number).toList());
        return faults.stream()
                .filter(fault -> String.valueOf(fault.number()).equals(number))
                .peek(fault -> acknowledged.add(fault.number()))
                .findFirst()
                .isPresent();
    }

    private List<SnapshotJson.Shown> open() {
        List<SnapshotJson.Shown> open = new ArrayList<>();
        String trouble = trouble();
        if (trouble.isEmpty()) {
            acknowledgedTrouble = "";
        } else if (!trouble.equals(acknowledgedTrouble)) {
            open.add(new SnapshotJson.Shown(JOURNAL, JOURNAL_FAULT, trouble, "", true, 1));
        }
        desk.latest().faults().stream()
                .filter(fault -> !acknowledged.contains(fault.number()))
                .map(SnapshotJson.Shown::of)
                .forEach(open::add);
        return open;
    }
}
