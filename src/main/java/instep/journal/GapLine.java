package instep.journal;

import instep.time.FrameRate;
import instep.time.TimeSyntaxException;
import instep.time.Timecode;

/** A record that is put in place of others which are missing: it takes the number of the last of them, so that the numbers around it hold. */
final class GapLine {
    private GapLine() {}

    /**
     * Appends its line.
     *
     * @param stamps a record beside it, whose times it bears
     */
    static void append(LineBuffer to, Entry stamps, long seq, Happening what, FrameRate rate) {
        Timecode label = label(stamps, rate);
        to.append(new Pending(seq, stamps.mono(), label.frame(), what), stamps.at(), label);
    }

    private static Timecode label(Entry entry, FrameRate rate) {
        try {
            return Timecode.parse(entry.tc(), rate);
        } catch (TimeSyntaxException e) {
            return new Timecode(rate, 0);
        }
    }
}
