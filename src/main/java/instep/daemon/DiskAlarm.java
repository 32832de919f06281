package instep.daemon;

import instep.journal.Happening;
import instep.journal.Watch;
import java.util.function.BiPredicate;

/**
 * Tells the desk when the journal's disk does not take records, beside whoever else looks on. Journal thread only.
 *
 * @param others who sees the records
 * @param desk told whether it fails, and of it in a sentence; returns whether it takes note of that
 */
record DiskAlarm(Watch others, BiPredicate<Boolean, String> desk) implements Watch {
    @Override
    public void saw(long mono, long frame, Happening what) {
        others.saw(mono, frame, what);
    }

    @Override
    public void caughtUp() {
        others.caughtUp();
    }

    @Override
    public long patience() {
        return others.patience();
    }

    @Override
    public boolean failing(String sentence) {
        return desk.test(true, sentence);
    }

    @Override
    public boolean back(String sentence) {
        return desk.test(false, sentence);
    }
}
