package instep.desk;

import java.util.List;

/**
 * What has been counted since the start. Immutable.
 *
 * @param own cuts that the mapping made
 * @param foreign cuts that somebody made at the gear
 * @param lostRecords how many records the disk did not take
 * @param journalLag how late the last record came to the file, in nanoseconds
 * @param syncOffset how far the last sync moved timecode, in nanoseconds; forward is positive
 * @param syncedAt the instant of the last sync
 */
public record Tallies(
        long edges,
        long gestures,
        long own,
        long foreign,
        long takes,
        long marks,
        long faults,
        long records,
        long lostRecords,
        long journalLag,
        long syncOffset,
        long syncedAt,
        Histogram pressToWire,
        Histogram confirmed,
        List<Gear> gear,
        List<Unit> units) {
    /** Before anything has happened. */
    public static final Tallies NONE =
            new Tallies(0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, Histogram.NONE, Histogram.NONE, List.of(), List.of());

    public Tallies {
        gear = List.copyOf(gear);
        units = List.copyOf(units);
    }

    /**
     * What was counted of a piece of gear.
     *
     * @param lastMicros how long the last message took from the press to the socket; negative: not known
     */
    public record Gear(String name, boolean up, long sent, long missed, long lost, long lastMicros) {}

    /** Whether a pedal unit can be read. */
    public record Unit(String name, boolean up) {}
}
