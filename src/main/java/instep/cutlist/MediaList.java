package instep.cutlist;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.function.UnaryOperator;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/** Which files show which angle in which take, in labels: as it is written down and may have been corrected by hand. */
public record MediaList(List<InTake> takes) {
    /**
     * The files of a take.
     *
     * @param from the label of the take's first frame
     * @param angles by their names
     */
    public record InTake(long take, String day, FrameRate rate, Timecode from, Map<String, Files> angles) {
        public InTake {
            angles = new LinkedHashMap<>(angles);
        }

        /** All of its files. */
        public List<Held> held() {
            return angles.values().stream().flatMap(Files::all).toList();
        }

        private boolean isSame(InTake other) {
            return take == other.take && day.equals(other.day) && rate == other.rate && from.equals(other.from);
        }

        private InTake with(InTake more) {
            Set<String> placed = more.held().stream().map(Held::file).collect(Collectors.toSet());
            Map<String, Files> all = new LinkedHashMap<>();
            angles.forEach((angle, files) -> all.put(angle, files.without(placed)));
            more.angles.forEach((angle, files) -> all.merge(angle, files, Files::with));
            return new InTake(take, day, rate, from, all);
        }
    }

    /** The files of an angle. */
    public record Files(List<Held> proxies, List<Held> originals) {
        public Files {
            proxies = List.copyOf(proxies);
            originals = List.copyOf(originals);
        }

        private Stream<Held> all() {
            return Stream.concat(proxies.stream(), originals.stream());
        }

        private Files each(UnaryOperator<Stream<Held>> change) {
            return new Files(
                    change.apply(proxies.stream()).toList(),
                    change.apply(originals.stream()).toList());
        }

        private Files without(Set<String> names) {
            return each(held -> held.filter(one -> !names.contains(one.file())));
        }

        private Files with(Files more) {
            return new Files(
                    Stream.concat(proxies.stream(), more.proxies.stream()).toList(),
                    Stream.concat(originals.stream(), more.originals.stream()).toList());
        }
    }

    /**
     * A file.
     *
     * @param start its own label of its first frame
     * @param at the journal's label of that frame
     * @param frames how many it has, at least one
     */
    public record Held(String file, Timecode start, Timecode at, long frames) {}

    public MediaList {
        takes = List.copyOf(takes);
    }

    /** What was matched. */
    public static MediaList of(List<Matching.Matched> matched) {
        List<InTake> takes = new ArrayList<>();
        for (Matching.Matched one : matched) {
            Slate slate = one.slate();
            Map<String, Files> angles = new LinkedHashMap<>();
            for (Footage footage : one.footage()) {
                angles.put(
                        footage.angle(), new Files(held(slate, footage.proxies()), held(slate, footage.originals())));
            }
            takes.add(new InTake(slate.take().number(), slate.day(), slate.rate(), slate.from(), angles));
        }
        return new MediaList(takes);
    }

    private static List<Held> held(Slate slate, List<Piece> pieces) {
        return pieces.stream()
                .map(piece -> new Held(
                        piece.file(),
                        Timecode.wrapped(slate.rate(), piece.in() + piece.shift()),
                        slate.label(piece.in()),
                        piece.out() - piece.in()))
                .toList();
    }

    /** The same, where files have labels of their own that are not those by which they were placed. */
    public MediaList withStarts(Function<String, Timecode> starts) {
        List<InTake> all = new ArrayList<>();
        for (InTake one : takes) {
            Map<String, Files> angles = new LinkedHashMap<>();
            one.angles()
                    .forEach((angle, files) -> angles.put(
                            angle,
                            files.each(held -> held.map(file ->
                                    new Held(file.file(), starts.apply(file.file()), file.at(), file.frames())))));
            all.add(new InTake(one.take(), one.day(), one.rate(), one.from(), angles));
        }
        return new MediaList(all);
    }

    /** The same with more files, which come after those that are there already. Where both have a file, its new place counts; a take without files is not added. */
    public MediaList with(MediaList more) {
        List<InTake> all = new ArrayList<>();
        for (InTake one : takes) {
            all.add(more.takes.stream()
                    .filter(one::isSame)
                    .findFirst()
                    .map(one::with)
                    .orElse(one));
        }
        more.takes.stream()
                .filter(other -> !other.held().isEmpty() && takes.stream().noneMatch(other::isSame))
                .forEach(all::add);
        return new MediaList(all);
    }

    /** What it says of a take; empty if it does not know it. */
    public Optional<InTake> of(Slate slate) {
        return takes.stream()
                .filter(one -> one.rate() == slate.rate() && slate.isSame(one.take(), one.day(), one.from()))
                .findFirst();
    }

    /** The files of all angles of a take, as frames of the journal. */
    public static Matching.Matched placed(InTake listed, Slate slate) {
        List<Footage> footage = new ArrayList<>();
        for (Slate.Angle angle : slate.angles()) {
            Files files = listed.angles().getOrDefault(angle.name(), new Files(List.of(), List.of()));
            footage.add(new Footage(
                    angle.name(), angle.reel(), pieces(slate, files.proxies()), pieces(slate, files.originals())));
        }
        return new Matching.Matched(slate, footage);
    }

    private static List<Piece> pieces(Slate slate, List<Held> files) {
        return files.stream()
                .map(one -> {
                    long in = slate.place(one.at(), one.frames());
                    return new Piece(one.file(), in, in + one.frames(), slate.shift(one.start(), in));
                })
                .toList();
    }
}
