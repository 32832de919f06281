package instep.command;

import instep.after.RecordedTake;
import instep.after.TakeScan;
import instep.config.Settings;
import instep.cutlist.Matching;
import instep.cutlist.MediaList;
import instep.cutlist.Recording;
import instep.cutlist.Slate;
import instep.media.Ffprobe;
import instep.media.UnreadableException;
import instep.sound.Alignment;
import instep.time.FrameRate;
import instep.time.TimeSyntaxException;
import instep.time.Timecode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** Recordings that sound has laid beside a first one, on their way into a list of media. The label of the first one says where all of them lie. */
final class SyncList implements TakeScan.Visitor {
    /** Nothing can be written down; the message says why. */
    static final class WrongPlaceException extends IOException {
        private static final long serialVersionUID = 1;

        WrongPlaceException(String message) {
            super(message);
        }
    }

    /** By so many frames pictures and sound part before it is said. */
    private static final double NOTICEABLE = 0.5;

    private final TakeChoice choice;
    private final TakeSettings settings;
    private final Ffprobe probe;
    private final Complaints complaints = new Complaints();
    private final List<Slate> slates = new ArrayList<>();
    private final List<Recording> recordings = new ArrayList<>();
    /** The files' own labels. */
    private final Map<String, String> labels = new HashMap<>();

    private FrameRate rate = FrameRate.R25;
    private Timecode from = new Timecode(rate, 0);
    private long begins;

    SyncList(TakeChoice choice, Optional<Settings> given, Ffprobe probe) {
        this.choice = choice;
        this.settings = new TakeSettings(new CutlistWishes(), given, complaints::fail);
        this.probe = probe;
    }

    @Override
    public void take(RecordedTake take) {
        if (choice.isWanted(take)) {
            settings.of(take).map(TakeSettings.Held::slate).ifPresent(slates::add);
        }
    }

    @Override
    public void damaged(String what) {
        complaints.fail(what);
    }

    /** Reads the takes. */
    void read(Path journal) throws IOException {
        TakeScan.of(journal, this);
        List<FrameRate> rates = slates.stream().map(Slate::rate).distinct().toList();
        if (rates.isEmpty()) {
            throw new WrongPlaceException(NoTake.in(journal));
        }
        if (rates.size() > 1) {
            throw new WrongPlaceException("the takes have different frame rates: choose with --take or --day");
        }
        rate = rates.get(0);
    }

    /**
     * The recording beside which the others lie.
     *
     * @param at the journal's label of its first frame; without, what the list says of it, else its own
     * @param listed what is known already
     */
    void first(Path file, @Nullable String at, MediaList listed) throws IOException {
        Recording first = recording(file);
        begins = first.begins();
        Optional<Timecode> known = label(first, listed);
        if (at != null) {
            from = asked(at);
        } else if (known.isPresent()) {
            from = known.get();
        } else {
            Matching matching = Matching.of(slates, List.of(first));
            from = label(first, MediaList.of(matching.takes()))
                    .orElseThrow(
                            () -> new WrongPlaceException(
                                    file + " "
                                            + matching.unused().get(0).why()
                                            + ": name another recording first, or say with --at what the journal's timecode was at its first frame"));
        }
        if (known.isEmpty() || at != null) {
            add(first, from);
        }
    }

    private Timecode asked(String at) throws WrongPlaceException {
        try {
            return Timecode.parse(at, rate);
        } catch (TimeSyntaxException e) {
            throw new WrongPlaceException("--at " + at + ": " + e.getMessage());
        }
    }

    private static Optional<Timecode> label(Recording recording, MediaList listed) {
        return listed.takes().stream()
                .flatMap(take -> take.held().stream())
                .filter(held -> held.file().equals(recording.file()))
                .findFirst()
                .map(MediaList.Held::at);
    }

    /** One that lies beside it. */
    void add(Path file, Alignment found) throws IOException {
        Recording recording = recording(file);
        double seconds = found.offset() + (recording.begins() - begins) / 1e6;
        long frames = Math.round(seconds * rate.numerator() / rate.denominator());
        add(recording, from.plus(frames));
        double apart = Math.abs(found.drift().orElse(0)) * 1e-6 * recording.frames();
        if (apart > NOTICEABLE) {
            complaints.tell(String.format(
                    Locale.ROOT, "%s: its clock drifts, at its end its pictures are %.1f frames off", file, apart));
        }
    }

    private void add(Recording recording, Timecode at) {
        labels.put(recording.file(), recording.start());
        recordings.add(recording.from(at));
    }

    private Recording recording(Path file) throws IOException {
        try {
            return probe.read(
                    file.toAbsolutePath().normalize(), file.normalize().toString());
        } catch (UnreadableException e) {
            throw new IOException(file + " " + e.getMessage(), e);
        }
    }

    /** What is known of all files. */
    MediaList over(MediaList listed) {
        Matching matching =
                Matching.of(slates.stream().map(Slate::withoutOffsets).toList(), recordings);
        for (Matching.Unused unused : matching.unused()) {
            String what = unused.recording().name() + " is not in the list: it " + unused.why();
            if (unused.recording().frames() > 0) {
                complaints.fail(what);
            } else {
                complaints.tell(what);
            }
        }
        matching.doubts().forEach(complaints::tell);
        return listed.with(MediaList.of(matching.takes()).withStarts(this::own));
    }

    /** A file without timecode begins at zero wherever it is opened (common practice, no source). */
    private Timecode own(String file) {
        try {
            return Timecode.parse(labels.getOrDefault(file, ""), rate);
        } catch (TimeSyntaxException e) {
            return new Timecode(rate, 0);
        }
    }

    int code() {
        return complaints.code();
    }
}
