package instep.cutlist;

import instep.time.TimeSyntaxException;
import instep.time.Timecode;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;

/**
 * Which recorded files show which angle in which take, found by names and timecode. A file in which several takes lie is of all of them.
 *
 * @param takes the takes that were asked about, in the same order
 * @param unused the files that are of none, each with the reason
 * @param doubts what a person should look at, a sentence each
 */
public record Matching(List<Matched> takes, List<Unused> unused, List<String> doubts) {
    /** The files of a take, an angle after the other. */
    public record Matched(Slate slate, List<Footage> footage) {
        public Matched {
            footage = List.copyOf(footage);
        }

        /** The files of an angle; none if it is not known. */
        public Footage of(String angle) {
            return footage.stream()
                    .filter(one -> one.angle().equals(angle))
                    .findFirst()
                    .orElse(new Footage(angle, "", List.of(), List.of()));
        }
    }

    /** A file that is not used. */
    public record Unused(Recording recording, String why) {}

    public Matching {
        takes = List.copyOf(takes);
        unused = List.copyOf(unused);
        doubts = List.copyOf(doubts);
    }

    /** Looks at each file. */
    public static Matching of(List<Slate> slates, List<Recording> recordings) {
        Finder finder = new Finder(slates);
        recordings.stream().sorted(Comparator.comparing(Recording::name)).forEach(finder::look);
        return finder.found();
    }

    /** A file in a take. */
    record Placement(Slate slate, Slate.Angle angle, Recording recording, Piece piece) {
        boolean overlaps(Placement other) {
            return piece.in() < other.piece.out() && other.piece.in() < piece.out();
        }

        boolean isOfTheDay() {
            return recording.day().isEmpty() || recording.day().equals(slate.day());
        }
    }

    /** One go through the files. */
    private static final class Finder {
        private final List<Slate> slates;
        private final List<Placement> placed = new ArrayList<>();
        private final List<Unused> unused = new ArrayList<>();

        Finder(List<Slate> slates) {
            this.slates = slates;
        }

        void look(Recording recording) {
            List<Placement> found = new ArrayList<>();
            String why = flaw(recording);
            for (Slate slate : why.isEmpty() ? slates : List.<Slate>of()) {
                List<Slate.Angle> angles = ReelWords.angles(recording, slate.angles());
                if (angles.size() == 1) {
                    place(recording, slate, angles.get(0)).ifPresent(found::add);
                }
            }
            List<Placement> meant = nearest(recording, found);
            placed.addAll(meant);
            if (meant.isEmpty()) {
                unused.add(new Unused(recording, why.isEmpty() ? reason(recording, found) : why));
            }
        }

        /** Why it can be of no take at all; empty: it may be of one. */
        private String flaw(Recording recording) {
            if (recording.frames() == 0) {
                return recording.sounds() > 0 ? "has sound only" : "has no pictures";
            }
            if (!recording.rate().steady()) {
                return "has a variable frame rate, so its frames have no fixed place: make a copy of a constant rate";
            }
            Set<String> rates =
                    slates.stream().map(slate -> slate.rate().label()).collect(Collectors.toCollection(TreeSet::new));
            if (slates.stream().noneMatch(slate -> recording.rate().is(slate.rate()))) {
                return "runs at " + recording.rate() + " frames a second, but the take"
                        + (slates.size() == 1 ? "" : "s") + " at " + String.join(" and ", rates);
            }
            return recording.start().isEmpty() ? "has no timecode, so it is not known where it begins" : "";
        }

        private static Optional<Placement> place(Recording recording, Slate slate, Slate.Angle angle) {
            Optional<Timecode> label = label(recording, slate);
            if (label.isEmpty() || !recording.rate().is(slate.rate())) {
                return Optional.empty();
            }
            long in = slate.place(label.get().plus(-angle.offset()), recording.frames());
            Piece piece = new Piece(recording.file(), in, in + recording.frames(), slate.shift(label.get(), in));
            boolean within = Math.max(piece.in(), slate.in()) < Math.min(piece.out(), slate.out());
            return within ? Optional.of(new Placement(slate, angle, recording, piece)) : Optional.empty();
        }

        private static Optional<Timecode> label(Recording recording, Slate slate) {
            try {
                return Optional.of(Timecode.parse(recording.start(), slate.rate()));
            } catch (TimeSyntaxException e) {
                return Optional.empty();
            }
        }

        /** The same labels come back each day, and takes may all begin at the same one: then the date or the take's number in the name decides. */
        private static List<Placement> nearest(Recording recording, List<Placement> found) {
            List<Placement> meant = found;
            if (days(meant) > 1) {
                meant = meant.stream()
                        .filter(one -> one.slate().day().equals(recording.likelyDay()))
                        .toList();
            }
            if (takesOverlap(meant)) {
                meant = meant.stream()
                        .filter(one -> ReelWords.hasWord(
                                        recording.name(),
                                        "take" + one.slate().take().number())
                                || ReelWords.hasWord(
                                        recording.name(),
                                        "take-" + one.slate().take().number())
                                || ReelWords.hasWord(
                                        recording.name(),
                                        "take_" + one.slate().take().number()))
                        .toList();
            }
            return takesOverlap(meant) ? List.of() : meant;
        }

        private static long days(List<Placement> placements) {
            return placements.stream().map(one -> one.slate().day()).distinct().count();
        }

        private static boolean takesOverlap(List<Placement> placements) {
            for (int i = 1; i < placements.size(); i++) {
                for (Placement before : placements.subList(0, i)) {
                    Slate slate = placements.get(i).slate();
                    if (slate.in() < before.slate().out() && before.slate().in() < slate.out()) {
                        return true;
                    }
                }
            }
            return false;
        }

        private String reason(Recording recording, List<Placement> found) {
            if (!found.isEmpty()) {
                return "may be of "
                        + found.stream().map(one -> one.slate().toString()).collect(Collectors.joining(" or "))
                        + ", which have the same timecode: neither its date nor a take's number in its name tells which";
            }
            Set<String> angles = new TreeSet<>();
            for (Slate slate : slates) {
                ReelWords.angles(recording, slate.angles()).forEach(angle -> angles.add(angle.name()));
            }
            if (angles.size() > 1) {
                return "may be of the angles " + String.join(" and ", angles);
            }
            if (angles.isEmpty()) {
                return "has no reel's name in its name or in itself";
            }
            boolean label =
                    slates.stream().anyMatch(slate -> label(recording, slate).isPresent());
            return label
                    ? "was recorded when there was no take: it begins at " + recording.start()
                    : "begins at " + recording.start() + ", which is no label at "
                            + slates.get(0).rate().label();
        }

        Matching found() {
            Sorting sorting = new Sorting(placed);
            List<Matched> takes = new ArrayList<>();
            for (Slate slate : slates) {
                List<Footage> footage = new ArrayList<>();
                for (Slate.Angle angle : slate.angles()) {
                    footage.add(new Footage(
                            angle.name(),
                            angle.reel(),
                            sorting.pieces(slate, angle, Media.PROXY),
                            sorting.pieces(slate, angle, Media.ORIGINAL)));
                }
                takes.add(new Matched(slate, footage));
            }
            unused.addAll(sorting.unused());
            unused.sort(Comparator.comparing(one -> one.recording().name()));
            return new Matching(takes, unused, sorting.doubts());
        }
    }
}
