package instep.after;

import instep.cutlist.Clip;
import instep.cutlist.Media;
import instep.cutlist.Piece;
import instep.cutlist.Recording;
import instep.cutlist.Timeline;
import instep.media.Canvas;
import instep.media.Ffprobe;
import instep.media.Stretch;
import instep.media.TakeCut;
import instep.media.UnreadableException;
import instep.time.Durations;
import instep.time.FrameRate;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** From programmes over matched files to what a rough cut is made of: which frames of which files. Each file is looked at anew, since lists of media are corrected by hand and cards are taken out. */
public final class RoughCutPlan {
    /** The largest picture that a rough cut has by itself. */
    private static final int WIDEST = 1920;

    private static final int HIGHEST = 1080;

    private final List<Media> order;
    private final Ffprobe probe;
    private final Map<String, Optional<Recording>> known = new LinkedHashMap<>();
    private final List<TakeCut> takes = new ArrayList<>();
    private final Set<String> notes = new LinkedHashSet<>();
    private final List<String> gaps = new ArrayList<>();
    private boolean sounds;

    /**
     * An empty plan.
     *
     * @param order which sort of files is taken, the one that is liked best first
     */
    public RoughCutPlan(List<Media> order, Ffprobe probe) {
        this.order = List.copyOf(order);
        this.probe = probe;
    }

    /** Plans a take that has clips; where it is not said which sound is meant, it is that of the pictures. */
    public void add(Timeline timeline) throws IOException {
        List<Stretch> pictures = new ArrayList<>();
        for (Clip clip : timeline.clips()) {
            append(pictures, stretch(timeline, clip, false));
        }
        List<Stretch> sound = new ArrayList<>();
        for (Clip clip : timeline.sound().isEmpty() ? timeline.clips() : timeline.sound()) {
            append(sound, stretch(timeline, clip, true));
        }
        takes.add(new TakeCut("take " + timeline.take().number(), pictures, sound));
    }

    /** What goes on in the same file is one. */
    private static void append(List<Stretch> stretches, Stretch next) {
        int last = stretches.size() - 1;
        if (last >= 0) {
            Stretch before = stretches.get(last);
            if (before.recording().equals(next.recording())
                    && (before.recording().isEmpty() || before.first() + before.frames() == next.first())) {
                stretches.set(last, new Stretch(before.recording(), before.first(), before.frames() + next.frames()));
                return;
            }
        }
        stretches.add(next);
    }

    private Stretch stretch(Timeline timeline, Clip clip, boolean heard) throws IOException {
        for (Media media : order) {
            Piece piece = clip.source().piece(media);
            if (piece.isPlaced()) {
                long first = clip.in() - piece.in();
                Optional<Recording> file = usable(piece.file(), timeline.rate(), first + clip.frames());
                if (file.isPresent() && (!heard || file.get().sounds() > 0)) {
                    sounds |= heard;
                    return new Stretch(file, first, clip.frames());
                }
            }
        }
        if (!heard) {
            gaps.add(String.format(
                    "take %d: no file shows %s from %s to %s, %s",
                    timeline.take().number(),
                    clip.source().angle().isEmpty()
                            ? "what was on air"
                            : clip.source().angle(),
                    timeline.source(clip.in()),
                    timeline.after(clip.out() - 1),
                    Durations.ofFrames(clip.frames(), timeline.rate())));
        }
        return new Stretch(Optional.empty(), 0, clip.frames());
    }

    /** The file, if it has that many frames of that rate; else it is noted why not. */
    private Optional<Recording> usable(String file, FrameRate rate, long frames) throws IOException {
        if (!known.containsKey(file)) {
            known.put(file, read(file));
        }
        Optional<Recording> found = known.getOrDefault(file, Optional.empty());
        if (found.isEmpty()) {
            return found;
        }
        Recording recording = found.get();
        String why = !recording.rate().steady()
                ? "has a variable frame rate"
                : !recording.rate().is(rate)
                        ? "runs at " + recording.rate() + " frames a second and the take at " + rate.label()
                        : recording.frames() < frames
                                ? "has only " + recording.frames() + " frames, fewer than the list of media says"
                                : "";
        if (!why.isEmpty()) {
            notes.add(file + " " + why + ": it is not used");
        }
        return why.isEmpty() ? found : Optional.empty();
    }

    private Optional<Recording> read(String file) throws IOException {
        try {
            if (Files.exists(Path.of(file))) {
                return Optional.of(probe.read(Path.of(file), file));
            }
            notes.add(file + " is not there");
        } catch (UnreadableException e) {
            notes.add(file + " " + e.getMessage());
        }
        return Optional.empty();
    }

    /** What is to be filmed. */
    public List<TakeCut> takes() {
        return takes.stream()
                .map(take -> sounds ? take : new TakeCut(take.name(), take.pictures(), List.of()))
                .toList();
    }

    /** What no file shows, a sentence each. */
    public List<String> gaps() {
        return List.copyOf(gaps);
    }

    /** Which files cannot be used and why, and what is silent. */
    public List<String> notes() {
        List<String> all = new ArrayList<>(notes);
        if (!sounds && !takes.isEmpty()) {
            all.add("none of the files has sound");
        }
        return all;
    }

    /** Whether that is one of the files of which it is made. */
    public boolean isOf(Path file) throws IOException {
        for (String one : known.keySet()) {
            if (Files.exists(file) && Files.exists(Path.of(one)) && Files.isSameFile(file, Path.of(one))) {
                return true;
            }
        }
        return false;
    }

    /** As large as the largest picture that is shown, within bounds. */
    public Canvas canvas(FrameRate rate) {
        Recording.Picture largest = new Recording.Picture(1280, 720, "", 0);
        long most = 0;
        for (TakeCut take : takes) {
            for (Stretch stretch : take.pictures()) {
                Recording.Picture picture =
                        stretch.recording().map(Recording::picture).orElse(largest);
                long pixels = (long) picture.width() * picture.height();
                if (stretch.recording().isPresent() && pixels > most) {
                    most = pixels;
                    largest = picture;
                }
            }
        }
        double fit = Math.min(1, Math.min((double) WIDEST / largest.width(), (double) HIGHEST / largest.height()));
        return new Canvas(even(largest.width() * fit), even(largest.height() * fit), rate);
    }

    private static int even(double length) {
        return Math.max(2, (int) Math.round(length / 2) * 2);
    }
}
