package instep.clock;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.Optional;

/**
 * The 64 data bits of a word of linear timecode (SMPTE ST 12-1, IEC 60461): the time address in binary-coded decimal, least significant bit first, with user bits
 * and flags between. The sixteen bits of the synchronizing word that follow them are not in it.
 *
 * @param bits bit 0 was, or would be, sent first
 */
public record LtcWord(long bits) {
    private static final int DROP_FLAG = 10;

    /** Frames, from 0; at rates above 30 a word covers two frames, and this counts the pairs. */
    public int frames() {
        return digits(0, 8, 2);
    }

    public int seconds() {
        return digits(16, 24, 3);
    }

    public int minutes() {
        return digits(32, 40, 3);
    }

    public int hours() {
        return digits(48, 56, 2);
    }

    /** Whether labels are skipped; not assigned at 25 frames. */
    public boolean isDropFrame() {
        return (bits >>> DROP_FLAG & 1) != 0;
    }

    /** The binary groups, first group lowest: what a user or a machine has put between the digits. */
    public int userBits() {
        int user = 0;
        for (int group = 0; group < 8; group++) {
            user |= (int) (bits >>> (8 * group + 4) & 15) << (4 * group);
        }
        return user;
    }

    /** The label of the (first) frame that the word covers; empty if it is none at that rate, as after an error of reading. */
    public Optional<Timecode> label(FrameRate rate) {
        boolean paired = rate.counted() > 30;
        int frame = paired ? 2 * frames() : frames();
        if (!isDecimal() || (rate.counted() % 25 != 0 && isDropFrame() != rate.isDropFrame())) {
            return Optional.empty();
        }
        return Labels.of(rate, hours(), minutes(), seconds(), frame);
    }

    private boolean isDecimal() {
        return units(0) < 10 && units(16) < 10 && units(32) < 10 && units(48) < 10;
    }

    private int units(int at) {
        return (int) (bits >>> at & 15);
    }

    private int digits(int unitsAt, int tensAt, int tensBits) {
        int tens = (int) (bits >>> tensAt & ((1 << tensBits) - 1));
        return 10 * tens + units(unitsAt);
    }
}
