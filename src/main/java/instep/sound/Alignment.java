package instep.sound;

import java.util.OptionalDouble;

/**
 * Where a sound lies beside another one.
 *
 * @param offset so many seconds after the other's beginning it begins
 * @param drift how much quicker its clock runs than the other's, in millionths; empty if they are together for too short a time to tell
 * @param confidence from 0 to 1: how far the best place stands out from the next best
 */
public record Alignment(double offset, OptionalDouble drift, double confidence) {
    /** The same where another place has some confidence, too: what comes again and again, as the ticking of a clock, fits in more than one. */
    Alignment beside(double other) {
        double part = confidence == 0 ? 0 : other / confidence;
        return new Alignment(offset, drift, confidence * (1 - part * part));
    }
}
