package instep.sound;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.OptionalDouble;

/**
 * Finds where a sound lies beside another one that was recorded at the same time in the same room. First the outlines of the whole are compared, then short pieces all along what they have in common;
 * a line through the places of the pieces gives offset and drift.
 */
public final class Aligner {
    /** Places that differ by less are the same candidate, in steps of the outline: pieces are looked for within half a second. */
    private static final int APART = 60;

    private static final int CANDIDATES = 4;
    /** Nobody looks for a better place. */
    private static final double SURE = 0.6;

    private static final int PIECES = 16;
    private static final int PIECE = 1 << 16;
    /** What two recorders are together for at least, in samples. */
    private static final long SHORTEST = 2L * Heard.RATE;
    /** Pieces that lie off the line by more do not count, in seconds. */
    private static final double TOLERANCE = 0.002;
    /** Below that time between the first piece and the last, drift drowns in how exact a place is. */
    private static final double SHORTEST_FOR_DRIFT = 20;
    /** No recorder's clock is worse: a thousandth. */
    private static final double WORST = 1e-3;

    private final Heard reference;
    private final Outline outline;

    /** Looks for places beside that sound. */
    public Aligner(Heard reference) throws IOException {
        this.reference = reference;
        this.outline = Outline.of(reference);
    }

    /** The most likely place of a sound, however unlikely that is: the confidence says it. */
    public Alignment place(Heard sound) throws IOException {
        Outline other = Outline.of(sound);
        Alignment best = new Alignment(0, OptionalDouble.empty(), 0);
        double next = 0;
        for (long lag : candidates(other)) {
            // One that is sure is held against one other place.
            boolean isLast = best.confidence() > SURE;
            Alignment found = refined(sound, other.samples(), lag * Outline.STEP);
            next = Math.max(next, Math.min(best.confidence(), found.confidence()));
            best = found.confidence() > best.confidence() ? found : best;
            if (isLast) {
                break;
            }
        }
        return best.beside(next);
    }

    private List<Long> candidates(Outline other) {
        float[] a = outline.values();
        float[] b = other.values();
        if (a.length == 0 || b.length == 0) {
            return List.of();
        }
        double[] alike = Fourier.correlation(a, b);
        List<Long> found = new ArrayList<>();
        for (int number = 0; number < CANDIDATES; number++) {
            int best = -1;
            for (int i = 0; i < alike.length; i++) {
                long lag = i < a.length ? i : i - (long) alike.length;
                boolean isLag = lag < a.length && -lag < b.length;
                if (isLag && (best < 0 || alike[i] > alike[best]) && isNew(found, lag)) {
                    best = i;
                }
            }
            if (best >= 0) {
                found.add(best < a.length ? best : best - (long) alike.length);
            }
        }
        return found;
    }

    private static boolean isNew(List<Long> found, long lag) {
        for (long one : found) {
            if (Math.abs(one - lag) < APART) {
                return false;
            }
        }
        return true;
    }

    private Alignment refined(Heard sound, long samples, long lag) throws IOException {
        long in = Math.max(0, lag);
        long out = Math.min(outline.samples(), lag + samples);
        List<Excerpt> pieces = new ArrayList<>();
        if (out - in >= SHORTEST) {
            int length = (int) Math.min(PIECE, out - in);
            int number = (int) Math.max(1, Math.min(PIECES, (out - in) / length));
            for (int i = 0; i < number; i++) {
                long from = number == 1 ? in : in + (out - in - length) * i / (number - 1);
                Excerpt.of(reference.piece(from, length), sound, from, lag).ifPresent(pieces::add);
            }
        }
        return fitted(pieces);
    }

    /** The line that most of the pieces lie on. */
    private static Alignment fitted(List<Excerpt> pieces) {
        List<Excerpt> best = List.of();
        for (Excerpt first : pieces) {
            for (Excerpt second : pieces) {
                double time = second.there() - first.there();
                double slope = time == 0 ? 1 : (second.here() - first.here()) / time;
                if (time >= 0 && Math.abs(slope - 1) <= WORST) {
                    List<Excerpt> near = pieces.stream()
                            .filter(piece ->
                                    Math.abs(first.here() + slope * (piece.there() - first.there()) - piece.here())
                                            <= TOLERANCE)
                            .toList();
                    best = sum(near) > sum(best) ? near : best;
                }
            }
        }
        if (best.isEmpty()) {
            return new Alignment(0, OptionalDouble.empty(), 0);
        }
        // What does not lie on the line speaks against it.
        double confidence = sum(best) / pieces.size();
        return line(best, confidence);
    }

    private static double sum(List<Excerpt> pieces) {
        return pieces.stream().mapToDouble(Excerpt::confidence).sum();
    }

    /** Least squares. */
    private static Alignment line(List<Excerpt> pieces, double confidence) {
        double here = pieces.stream().mapToDouble(Excerpt::here).average().orElse(0);
        double there = pieces.stream().mapToDouble(Excerpt::there).average().orElse(0);
        double first = pieces.stream()
                .map(Excerpt::there)
                .min(Comparator.naturalOrder())
                .orElse(0.0);
        double last = pieces.stream()
                .map(Excerpt::there)
                .max(Comparator.naturalOrder())
                .orElse(0.0);
        double products = 0;
        double squares = 0;
        for (Excerpt piece : pieces) {
            products += (piece.there() - there) * (piece.here() - here);
            squares += (piece.there() - there) * (piece.there() - there);
        }
        boolean isTold = last - first >= SHORTEST_FOR_DRIFT && pieces.size() > 2;
        double slope = isTold ? products / squares : 1;
        OptionalDouble drift = isTold ? OptionalDouble.of((1 / slope - 1) * 1e6) : OptionalDouble.empty();
        return new Alignment(here - slope * there, drift, confidence);
    }
}
