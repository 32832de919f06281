package instep.cutlist;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;

/**
 * How much of a take the files of one sort show of an angle.
 *
 * @param files how many there are
 * @param frames how many frames the take has
 * @param covered how many of them are shown
 * @param gaps the others, in the order of the take
 */
public record Coverage(String angle, Media media, int files, long frames, long covered, List<Gap> gaps) {
    /**
     * Frames that no file shows.
     *
     * @param in the first
     * @param out the frame after the last
     * @param used how many of them the programme needs, as picture or as sound
     */
    public record Gap(long in, long out, long used) {
        /** How many they are. */
        public long frames() {
            return out - in;
        }
    }

    public Coverage {
        gaps = List.copyOf(gaps);
    }

    /** Looks at an angle's files of a sort. */
    public static Coverage of(Timeline programme, Footage footage, Media media) {
        Take take = programme.take();
        List<Piece> pieces = footage.pieces(media);
        List<Gap> gaps = new ArrayList<>();
        long covered = 0;
        for (long at = take.in(); at < take.out(); ) {
            Piece there = Footage.at(pieces, at);
            long end = Math.min(take.out(), there.out());
            if (there.file().isEmpty()) {
                gaps.add(new Gap(at, end, used(programme, footage.angle(), at, end)));
            } else {
                covered += end - at;
            }
            at = end;
        }
        return new Coverage(footage.angle(), media, pieces.size(), take.frames(), covered, gaps);
    }

    private static long used(Timeline programme, String angle, long in, long out) {
        List<Clip> sound = programme.layout().sound().follows() ? List.of() : programme.sound();
        long used = Stream.concat(programme.clips().stream(), sound.stream())
                .filter(clip -> clip.source().angle().equals(angle))
                .mapToLong(clip -> Math.max(0, Math.min(out, clip.out()) - Math.max(in, clip.in())))
                .sum();
        // What is both seen and heard counts once.
        return Math.min(out - in, used);
    }

    /** Whether all is there that the programme needs. */
    public boolean isEnough() {
        return gaps.stream().allMatch(gap -> gap.used() == 0);
    }

    /** Tenths of a percent, rounded down, so that what is not whole is never called so; all of a take without frames. */
    public int permille() {
        return frames == 0 ? 1000 : (int) (covered * 1000 / frames);
    }
}
