package instep.desk;

import instep.time.Durations;
import java.util.ArrayList;
import java.util.List;

/**
 * What is wrong with the desk itself at present, and keeps what is shown from being true, or from being kept.
 *
 * @param name a word that stands for it, as long as it lasts
 * @param what a clause
 * @param why what else is known, or what that means
 */
record Alarm(String name, String what, String why) {
    /** As long as the page goes without news before it says so. */
    static final long MOST_NANOS = 2_000_000_000L;

    /** All that is wrong; the desk is asked, and its loop is asked for a sign. */
    static List<Alarm> of(Desk desk) {
        List<Alarm> all = new ArrayList<>();
        if (desk.loopSilence() > MOST_NANOS) {
            all.add(new Alarm(
                    "loop", "the desk stands still", "no pedal is heard and no gear is told; what is shown is old"));
        }
        if (!desk.journalTrouble().isEmpty()) {
            all.add(new Alarm("journal", "the journal cannot be written", desk.journalTrouble()));
        }
        long waiting = desk.oldestWaiting().isPresent()
                ? desk.now() - desk.oldestWaiting().orElse(0)
                : 0;
        if (waiting > MOST_NANOS * desk.speed()) {
            all.add(new Alarm(
                    "disk",
                    "the disk keeps the journal waiting",
                    "for more than " + Durations.ofNanos(MOST_NANOS) + "; what is shown is as old as that"));
        }
        return all;
    }

    String sentence() {
        return what + ": " + why;
    }
}
