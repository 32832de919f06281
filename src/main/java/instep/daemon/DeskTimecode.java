package instep.daemon;

import instep.journal.Happening;
import instep.journal.Key;
import instep.time.FrameRate;
import instep.time.Timecode;
import instep.time.TimecodeLine;

/** Where timecode has got to and where it comes from, as the records tell it. Journal thread only. */
final class DeskTimecode {
    private static final String FAULT = "timecode";

    private final DeskFaults faults;
    private final DeskTally tally;
    private TimecodeLine line;
    private String source = "";
    private String state = "";
    private String words = "";

    DeskTimecode(FrameRate rate, long now, DeskFaults faults, DeskTally tally) {
        this.faults = faults;
        this.tally = tally;
        line = new TimecodeLine(rate, now, 0);
    }

    TimecodeLine line() {
        return line;
    }

    /** The source and how it is with it. */
    String words() {
        return words;
    }

    String label(long frame) {
        return Timecode.wrapped(line.rate(), frame).toString();
    }

    /** How long so many frames last. */
    long nanos(long frames) {
        return line.rate().nanosAt(frames);
    }

    /** The run begins; only its frame is known, not when that began. */
    void start(long mono, long frame) {
        line = new TimecodeLine(line.rate(), mono, frame);
    }

    /** A record that says from where timecode counts. */
    void sync(long mono, long frame, Happening what) {
        long began = what.number(Key.BEGAN);
        // Before the first one only whole frames are known.
        tally.synced(mono, words.isEmpty() ? 0 : line.rate().nanosAt(frame - line.frameAt(mono)));
        line = new TimecodeLine(line.rate(), began < 0 ? mono : began, frame);
        String news = what.text(Key.STATE);
        boolean same = what.text(Key.SOURCE).equals(source);
        source = what.text(Key.SOURCE);
        // A take that begins with the source as it was says nothing of its state.
        state = news.isEmpty() && same ? state : news;
        boolean kept = !what.text(Key.CLOCK).equals("unsynchronized");
        words = source(source) + (kept ? "" : ", no NTP") + (state.isEmpty() ? "" : ", " + state);
        switch (news) {
            case "lost" ->
                faults.stands(FAULT, "no timecode comes in", "it goes on by itself and drifts", label(frame));
            case "freewheeling" ->
                faults.stands(FAULT, "timecode stays away", "it goes on by itself for now", label(frame));
            case "" -> {}
            default -> faults.over(FAULT);
        }
    }

    private static String source(String word) {
        return switch (word) {
            case "time-of-day" -> "the time of day";
            case "count-up" -> "a count";
            case "ltc" -> "linear timecode";
            case "mtc" -> "MIDI timecode";
            case "gear" -> "what gear says";
            default -> word;
        };
    }
}
