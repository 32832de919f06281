package instep.desk;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * What the page shows: the latest snapshot, but for the faults that somebody has acknowledged, and what is wrong with the desk itself at present. Desk thread only.
 */
final class Board {
    /** Whoever looks does so more often: a page once a second. */
    private static final long LOOKING_NANOS = 5_000_000_000L;

    private final Desk desk;
    private final Set<Long> acknowledged = new HashSet<>();
    private final Set<Alarm> seen = new HashSet<>();
    private long looked;

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

    /**
     * What is wrong with the desk itself, so that it can be noticed that it has changed. An alarm has no number to tell its next time by: that it was seen counts while somebody goes on looking, and finds it.
     */
    List<Alarm> alarms() {
        long now = desk.now();
        if (now - looked > LOOKING_NANOS * desk.speed()) {
            seen.clear();
        }
        looked = now;
        List<Alarm> alarms = unrecorded();
        seen.retainAll(alarms);
        return alarms;
    }

    /** What a record says as well, at more length, is one fault and no alarm. */
    private List<Alarm> unrecorded() {
        List<Snapshot.Fault> faults = desk.latest().faults();
        return Alarm.of(desk).stream()
                .filter(alarm -> faults.stream()
                        .noneMatch(fault -> fault.stands() && fault.what().equals(alarm.what())))
                .toList();
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
        alarms().stream()
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
