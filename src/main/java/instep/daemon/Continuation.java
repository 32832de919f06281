package instep.daemon;

import instep.config.Running;
import instep.config.Settings;
import instep.journal.Happening;
import instep.machine.Whereabouts;
import java.time.Instant;
import java.util.Optional;

/** How a run begins after the one before it: with the take that was left open, where that can be, or anew. Says which, and why. */
record Continuation(LastRun lastRun, WallTime wall, Chronicle chronicle) {
    /** Starts the machine of a switchboard, caused by that record. */
    void begin(Settings settings, Switchboard switchboard, long record, long now) {
        // Of the very instant from which frames count, so that a take that goes on began in the frame that it began in.
        HostTime time = new HostTime(Instant.EPOCH.plusNanos(wall.at(now)), now, wall.boot());
        Optional<Whereabouts> standing = lastRun.standing(time);
        Optional<String> hindrance = hindrance(settings, switchboard, standing, time);
        if (standing.isPresent() && hindrance.isEmpty()) {
            chronicle.note(
                    now,
                    Happening.note(lastRun.ending() + "; the take goes on where it stood" + onAir(standing.get())));
            switchboard.resume(record, now, standing.get());
            return;
        }
        if (lastRun.openTake().isPresent()) {
            chronicle.note(
                    now,
                    Happening.fault(lastRun.ending() + ". It does not go on, since " + hindrance.orElse("")
                            + ": look whether the recorders still roll"));
        }
        switchboard.start(record, now, lastRun.lastTake());
    }

    private static String onAir(Whereabouts standing) {
        int acts = standing.acts().size();
        return acts == 0 ? "" : ", with " + standing.acts().get(acts - 1).angle() + " on air";
    }

    private Optional<String> hindrance(
            Settings settings, Switchboard switchboard, Optional<Whereabouts> standing, HostTime time) {
        if (settings.running().afterCrash() == Running.AfterCrash.HOME) {
            return Optional.of("the configuration has after-crash: home");
        }
        return lastRun.hindrance(time)
                .or(() -> standing.filter(switchboard::canResume).isPresent()
                        ? Optional.empty()
                        : Optional.of("the configuration has none of the states that it stood in"));
    }
}
