package instep.edit;

import instep.cutlist.Clip;
import instep.cutlist.Piece;
import instep.cutlist.Timeline;
import instep.time.FrameRate;
import java.math.BigInteger;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** Writes a script for FFmpeg's concat demuxer ({@code ffmpeg -f concat -safe 0 -i FILE}), over the files that are active. */
final class ConcatWriter {
    private static final BigInteger MICROS = BigInteger.valueOf(1_000_000);

    private ConcatWriter() {}

    static Written write(Timeline timeline) {
        StringBuilder out = new StringBuilder("ffconcat version 1.0\n");
        boolean unnamed = false;
        boolean unplaced = false;
        int left = 0;
        for (Clip clip : timeline.clips()) {
            String file = clip.source().file(timeline.layout().active());
            String name = file.isEmpty() ? clip.source().reel() : file;
            unnamed |= file.isEmpty();
            if (name.isEmpty()) {
                left++;
                continue;
            }
            Piece piece = clip.source().piece(timeline.layout().active());
            unplaced |= !piece.isPlaced();
            long first = piece.isPlaced() ? piece.in() : timeline.take().in();
            out.append("file ").append(quoted(name)).append('\n');
            out.append("inpoint ")
                    .append(seconds(clip.in() - first, timeline.rate()))
                    .append('\n');
            out.append("outpoint ")
                    .append(seconds(clip.out() - first, timeline.rate()))
                    .append('\n');
        }
        List<String> losses = losses(timeline, unnamed, left);
        if (unplaced) {
            losses.add(0, "each file is taken to begin with the first frame of the take");
        }
        return Written.of(out.toString(), losses);
    }

    private static List<String> losses(Timeline timeline, boolean unnamed, int left) {
        List<String> losses = new ArrayList<>();
        String media = timeline.layout().active().word();
        losses.add("FFmpeg begins a shot at the key frame before it unless every frame of the file is one");
        losses.add("marks, timecode and handles have no place in it");
        if (unnamed) {
            losses.add("the files of the sort " + media
                    + " are not known: the reel's name stands for them (see cutlist: " + media + ")");
        }
        if (left > 0) {
            losses.add(left + (left == 1 ? " shot has" : " shots have") + " neither file nor reel and were left out");
        }
        boolean other =
                !timeline.sound().isEmpty() && !timeline.layout().sound().follows();
        if (other) {
            losses.add("the sound of one angle all through has no place in it: each shot has its own");
        }
        return losses;
    }

    /** Rounded down, so that the frame at an in point is in and the one at an out point is not. */
    private static String seconds(long frames, FrameRate rate) {
        long micros = BigInteger.valueOf(frames)
                .multiply(BigInteger.valueOf(rate.denominator()))
                .multiply(MICROS)
                .divide(BigInteger.valueOf(rate.numerator()))
                .longValueExact();
        return String.format(Locale.ROOT, "%d.%06d", micros / 1_000_000, micros % 1_000_000);
    }

    /** As FFmpeg reads text (its documentation, "Quoting and escaping"): all is literal in single quotation marks, which stand outside of them escaped. */
    private static String quoted(String file) {
        return "'" + file.replace("'", "'\\''") + "'";
    }
}
