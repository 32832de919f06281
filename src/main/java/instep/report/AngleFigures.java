package instep.report;

import instep.cutlist.Span;
import java.util.ArrayList;
import java.util.List;

/**
 * How an angle was used in a programme; lengths in frames, 0 if it was not.
 *
 * @param total all its shots together
 */
record AngleFigures(String angle, int shots, long total, long shortest, long median, long longest) {
    /** Of each angle, in their order. */
    static List<AngleFigures> of(List<String> angles, List<Span> spans) {
        List<AngleFigures> all = new ArrayList<>();
        for (String angle : angles) {
            long[] lengths = spans.stream()
                    .filter(span -> span.angle().equals(angle))
                    .mapToLong(Span::frames)
                    .sorted()
                    .toArray();
            all.add(of(angle, lengths));
        }
        return all;
    }

    private static AngleFigures of(String angle, long[] lengths) {
        int shots = lengths.length;
        if (shots == 0) {
            return new AngleFigures(angle, 0, 0, 0, 0, 0);
        }
        long total = 0;
        for (long length : lengths) {
            total += length;
        }
        return new AngleFigures(angle, shots, total, lengths[0], lengths[(shots - 1) / 2], lengths[shots - 1]);
    }

    /** Which part of so many frames it is, in tenths of a percent, rounded. */
    long permille(long frames) {
        return frames == 0 ? 0 : Math.round(1000.0 * total / frames);
    }
}
