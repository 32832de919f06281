package instep.clock;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.Optional;

/** Labels from their four numbers, as a machine sends them. */
final class Labels {
    private Labels() {}

    /** The label; empty if it is none at that rate, as after an error of reading, or one that drop-frame counting skips. Numbers are not negative. */
    static Optional<Timecode> of(FrameRate rate, int hours, int minutes, int seconds, int frame) {
        boolean skipped = seconds == 0 && minutes % 10 != 0 && frame < rate.dropped();
        if (frame >= rate.counted() || seconds > 59 || minutes > 59 || hours > 23 || skipped) {
            return Optional.empty();
        }
        long minute = hours * 60L + minutes;
        long labels = (minute * 60 + seconds) * rate.counted() + frame;
        return Optional.of(new Timecode(rate, labels - rate.dropped() * (minute - minute / 10)));
    }
}
