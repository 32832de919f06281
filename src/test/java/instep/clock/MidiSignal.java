package instep.clock;

import instep.time.FrameRate;
import instep.time.Timecode;

/**
 * MIDI timecode as it is sent, written from the layout of MIDI Time Code and Cueing, Detailed Specification (supplement to MIDI 1.0, 12 February 1987): 0nnn dddd, low nibble first, and 0yyzzzzz for the hours.
 */
public final class MidiSignal {
    private MidiSignal() {}

    /** The data byte of a quarter-frame message. */
    public static int piece(Timecode label, int number) {
        int[] fields = fields(label);
        int value = fields[3 - number / 2];
        return number << 4 | (number % 2 == 0 ? value & 15 : value >> 4);
    }

    /** Hours with the code of the rate, minutes, seconds, frames. */
    static int[] fields(Timecode label) {
        String text = label.toString();
        int pairs = label.rate().counted() > 30 ? 2 : 1;
        return new int[] {
            code(label.rate()) << 5 | Integer.parseInt(text.substring(0, 2)),
            Integer.parseInt(text.substring(3, 5)),
            Integer.parseInt(text.substring(6, 8)),
            Integer.parseInt(text.substring(9)) / pairs
        };
    }

    /** 24, 25, 30 with dropped labels, 30. */
    private static int code(FrameRate rate) {
        return rate.isDropFrame() ? 2 : rate.counted() % 24 == 0 ? 0 : rate.counted() % 25 == 0 ? 1 : 3;
    }
}
