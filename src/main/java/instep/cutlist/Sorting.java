package instep.cutlist;

import instep.cutlist.Matching.Placement;
import instep.cutlist.Matching.Unused;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * Tells proxies from originals, and files from their copies. The word {@code proxy} or {@code original} in the name of a file or folder decides. Where there is none, files with pictures of the
 * same size and codec are of one sort: they are proxies if one of them, of any angle, was recorded at the same time as a file of its angle with more pixels or, with as many, twice the bits.
 */
final class Sorting {
    private static final List<String> PROXY = List.of("proxy", "proxies");
    private static final List<String> ORIGINAL = List.of("original", "originals");

    private final List<Placement> placements;
    private final List<Recording.Picture> small = new ArrayList<>();
    private final Map<String, Unused> unused = new LinkedHashMap<>();
    private final Set<String> used = new LinkedHashSet<>();
    private final Set<String> doubts = new LinkedHashSet<>();

    Sorting(List<Placement> placements) {
        this.placements = placements;
        for (Placement one : placements) {
            if (placements.stream().anyMatch(other -> isOfTheSame(one, other) && isSmaller(one, other))) {
                small.add(one.recording().picture());
            }
        }
    }

    private static boolean isOfTheSame(Placement one, Placement other) {
        return one.slate().equals(other.slate())
                && one.angle().equals(other.angle())
                && one.overlaps(other)
                && !one.recording().equals(other.recording());
    }

    private static boolean isSmaller(Placement one, Placement other) {
        Recording.Picture picture = one.recording().picture();
        Recording.Picture larger = other.recording().picture();
        return !named(one.recording(), ORIGINAL)
                && !picture.isLike(larger)
                && (picture.pixels() < larger.pixels()
                        || (picture.pixels() == larger.pixels() && 2 * picture.bits() < larger.bits()));
    }

    private static boolean named(Recording recording, List<String> words) {
        return words.stream().anyMatch(word -> ReelWords.hasWord(recording.name(), word));
    }

    private Media sort(Recording recording) {
        if (named(recording, PROXY) || named(recording, ORIGINAL)) {
            return named(recording, PROXY) ? Media.PROXY : Media.ORIGINAL;
        }
        return small.stream().anyMatch(picture -> picture.isLike(recording.picture())) ? Media.PROXY : Media.ORIGINAL;
    }

    /** The files of an angle in a take, in the order of their first frames, without those that show nothing that others do not. */
    List<Piece> pieces(Slate slate, Slate.Angle angle, Media media) {
        List<Placement> candidates = placements.stream()
                .filter(one -> one.slate().equals(slate) && one.angle().equals(angle) && sort(one.recording()) == media)
                .sorted(Comparator.comparing((Placement one) -> !one.isOfTheDay())
                        .thenComparing(one -> -one.recording().picture().pixels())
                        .thenComparing(one -> -one.recording().frames())
                        // A copy is called as its original with something added.
                        .thenComparing(one -> one.recording().name().length())
                        .thenComparing(one -> one.recording().name()))
                .toList();
        List<Placement> kept = new ArrayList<>();
        for (Placement one : candidates) {
            String why = isNeeded(one, kept);
            if (why.isEmpty()) {
                kept.add(one);
                used.add(one.recording().file());
                doubt(one);
            } else {
                unused.put(one.recording().file(), new Unused(one.recording(), why));
            }
        }
        kept.forEach(one -> compare(one, kept.get(0), media));
        return kept.stream()
                .map(Placement::piece)
                .sorted(Comparator.comparingLong(Piece::in).thenComparingLong(piece -> -piece.out()))
                .toList();
    }

    /** Empty if it shows a frame of the take that those before it do not; else why it is not needed. */
    private static String isNeeded(Placement one, List<Placement> kept) {
        List<Piece> pieces = kept.stream().map(Placement::piece).toList();
        long in = Math.max(one.slate().in(), one.piece().in());
        long out = Math.min(one.slate().out(), one.piece().out());
        for (long at = in; at < out; ) {
            Piece there = Footage.at(pieces, at);
            if (there.file().isEmpty()) {
                return "";
            }
            at = there.out();
        }
        String other = kept.stream()
                .filter(before -> before.piece().shows(in))
                .findFirst()
                .map(before -> before.recording().name())
                .orElse("others");
        return one.isOfTheDay()
                ? "shows nothing that is not in " + other + " as well"
                : "is of " + one.recording().day() + ", and " + other + " has the pictures of "
                        + one.slate().day();
    }

    private void doubt(Placement one) {
        if (!one.isOfTheDay()) {
            doubts.add(one.recording().name() + " is dated " + one.recording().day() + ", but fits " + one.slate()
                    + ": look whether it is of that day");
        }
    }

    /** A camera whose pictures change their size within a take was set otherwise than it should be. */
    private void compare(Placement one, Placement other, Media media) {
        Recording.Picture picture = one.recording().picture();
        Recording.Picture usual = other.recording().picture();
        if (picture.width() != usual.width() || picture.height() != usual.height()) {
            doubts.add(one.recording().name() + " has pictures of another size than "
                    + other.recording().name() + ", "
                    + picture.size() + " and not " + usual.size() + ", and both are " + media.several() + " of "
                    + one.angle().name() + " in " + one.slate() + ": look whether that is meant");
        }
    }

    /** What is in no take. */
    List<Unused> unused() {
        return unused.values().stream()
                .filter(one -> !used.contains(one.recording().file()))
                .toList();
    }

    List<String> doubts() {
        return List.copyOf(doubts);
    }
}
