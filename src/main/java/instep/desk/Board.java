package instep.desk;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * What the page shows: the latest snapshot, but for the faults that somebody has acknowledged, and what is wrong with the desk itself at present. Desk thread only.
 */
final class Board {
    private final Desk desk;
    private final Set<Long> acknowledged = new HashSet<>();
    private final Set<Alarm> seen = new HashSet<>();

    private final WrongTokens wrong;

    /** {@code wrong}: the tokens that were tried at the page. */
    Board(Desk desk, WrongTokens wrong) {
        this.desk = desk;
        this.wrong = wrong;
    }

    /** All that the page shows, in JSON. */
    String state() {
        return SnapshotJson.state(desk.latest(), open(), desk);
    }

    /** Where time has got to, in JSON. */
    String beat() {
        return SnapshotJson.beat(desk.latest(), desk);
    }

    /** What is wrong with the desk itself, so that it can be noticed that it has changed. */
    List<Alarm> alarms() {
        return Alarm.of(desk);
    }

    String metrics(MetricsForm form) {
        return Metrics.text(desk.latest().tallies(), desk, wrong.total(), form);
    }

    /** What goes on being wrong, a sentence for each. */
    List<String> reasons() {
        List<String> reasons = new ArrayList<>();
        alarms().forEach(alarm -> reasons.add(alarm.sentence()));
        desk.latest().faults().stream()
                .filter(Snapshot.Fault::stands)
                .map(Snapshot.Fault::sentence)
                .forEach(reasons::add);
        return reasons;
    }

    /** Somebody has seen that fault; false if there is none of that number. */
    boolean acknowledge(String number) {
        for (Alarm alarm : alarms()) {
            if (alarm.name().equals(number)) {
                seen.add(alarm);
                return true;
            }
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
        List<Alarm> alarms = alarms();
        seen.retainAll(alarms);
        alarms.stream()
                .filter(alarm -> !seen.contains(alarm))
                .map(SnapshotJson.Shown::of)
                .forEach(open::add);
        desk.latest().faults().stream()
                .filter(fault -> !acknowledged.contains(fault.number()))
                .map(SnapshotJson.Shown::of)
                .forEach(open::add);
        return open;
    }
}
