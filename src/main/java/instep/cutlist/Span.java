package instep.cutlist;

/**
 * An angle that the programme shows without a break. In a list of spans, one that begins where the one before it ends is joined to it by a cut; between others
 * something was left out.
 *
 * @param angle empty if the journal does not tell what was on air
 * @param decided where the journal has the cut that it began with; not after {@code in} if the beginning was left out
 * @param returning whether that cut ended a detour
 * @param in the first frame of the source
 * @param out the frame after the last
 */
public record Span(String angle, long decided, boolean returning, long in, long out) {
    public Span {
        if (out <= in) {
            throw new IllegalArgumentException("a span has at least one frame: " + in + " to " + out);
        }
    }

    static Span of(Shot shot) {
        return new Span(shot.angle(), shot.in(), shot.returning(), shot.in(), shot.out());
    }

    /** How many frames it has. */
    public long frames() {
        return out - in;
    }

    Span from(long frame) {
        return new Span(angle, decided, returning, frame, out);
    }

    Span to(long frame) {
        return new Span(angle, decided, returning, in, frame);
    }
}
