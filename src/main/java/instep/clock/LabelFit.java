package instep.clock;

import instep.time.FrameRate;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** Whether words of linear timecode count as the configured rate does, and if not, how they do, in a sentence. Not thread-safe. */
final class LabelFit {
    /** A word may be misread; so many in a row are not. */
    private static final int CERTAIN = 3;

    private final FrameRate rate;
    private final int pairs;
    private int misfits;

    LabelFit(FrameRate rate) {
        this.rate = rate;
        pairs = rate.counted() > 30 ? 2 : 1;
    }

    /** A word that is a label of the rate. */
    void fits() {
        misfits = 0;
    }

    /** What is wrong with a word that is no label of the rate, if that is certain. */
    Optional<String> misfit(@Nullable LtcWord before, LtcWord word) {
        misfits++;
        boolean countsOn = before != null && word.frames() == before.frames() + 1 && word.seconds() == before.seconds();
        return countsOn || misfits >= CERTAIN ? why(word) : Optional.empty();
    }

    private Optional<String> why(LtcWord word) {
        if (word.frames() * pairs >= rate.counted()) {
            return Optional.of("it counts more than " + rate.counted() / pairs + " words a second");
        }
        if (rate.counted() % 25 != 0 && word.isDropFrame() != rate.isDropFrame()) {
            return Optional.of(word.isDropFrame() ? "it is flagged as drop-frame" : "it is not flagged as drop-frame");
        }
        return Optional.empty();
    }

    /** What is wrong with two words of which one follows on the other where a second ends, if anything is. */
    Optional<String> wrongSecond(LtcWord before, LtcWord word) {
        boolean isSecond = word.frames() == 0 && (before.seconds() + 1) % 60 == word.seconds();
        int words = before.frames() + 1;
        return isSecond && words != rate.counted() / pairs
                ? Optional.of("it counts " + words + " words a second, not " + rate.counted() / pairs)
                : Optional.empty();
    }

    /** Whether two words that follow one on the other end a second as the rate does. */
    boolean isRightSecond(LtcWord before, LtcWord word) {
        return word.frames() == 0
                && (before.seconds() + 1) % 60 == word.seconds()
                && before.frames() + 1 == rate.counted() / pairs;
    }
}
