package instep.command;

import instep.config.CutlistSettings;
import instep.config.SnapSettings;
import instep.cutlist.Layout;
import instep.cutlist.Media;
import instep.cutlist.Refinements;
import instep.cutlist.Retake;
import instep.cutlist.Sound;
import instep.time.Durations;
import instep.time.FrameRate;
import instep.time.TimeSyntaxException;
import instep.time.Timecode;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** What is asked of a cut list on the command line, over what the configuration says. */
final class CutlistWishes {
    /** An option that means nothing. */
    static final class WrongOption extends RuntimeException {
        private WrongOption(String what) {
            super(what);
        }
    }

    @Option(
            names = "--lead",
            paramLabel = "TIME",
            description = "Cuts come so much earlier; times are written as 6f (frames), 240ms or 1.5s.")
    private @Nullable String lead;

    @Option(
            names = "--lead-returning",
            paramLabel = "TIME",
            description = "The same for a cut that ends a detour (default: as --lead).")
    private @Nullable String leadReturning;

    @Option(names = "--minimum-shot", paramLabel = "TIME", description = "A shorter shot is joined to the one before.")
    private @Nullable String minimumShot;

    @Option(
            names = "--merge-within",
            paramLabel = "TIME",
            description = "An angle that comes back within so long was never left.")
    private @Nullable String mergeWithin;

    @Option(
            names = "--retake",
            paramLabel = "FATE",
            description = "What becomes of the passage before a mark `retake`: keep, flag or drop.")
    private Retake.@Nullable Fate retake;

    @Option(
            names = "--snap",
            paramLabel = "FILE",
            description = "Moves the ends of dropped passages to pauses in that sound, which ffmpeg reads.")
    private @Nullable Path snap;

    @Option(
            names = "--snap-within",
            paramLabel = "TIME",
            description = "So far at most (default: as the configuration says, else 1s).")
    private @Nullable String snapWithin;

    @Option(names = "--head", paramLabel = "TIME", description = "So much is left out at the beginning of the take.")
    private @Nullable String head;

    @Option(names = "--tail", paramLabel = "TIME", description = "So much is left out at its end.")
    private @Nullable String tail;

    @Option(names = "--handles", paramLabel = "TIME", description = "So much more is kept at both ends of a shot.")
    private @Nullable String handles;

    @Option(names = "--start", paramLabel = "LABEL", description = "The first label of the timeline.")
    private @Nullable String start;

    @Option(
            names = "--sound",
            paramLabel = "WHICH",
            description = "`follows`: cut with the pictures; or the angle whose sound stays all through.")
    private @Nullable String sound;

    @Option(
            names = "--prefer",
            paramLabel = "WHICH",
            description = "Which files are meant where there are both: proxy or original.")
    private @Nullable Media prefer;

    /** Which files were asked for. */
    Optional<Media> preferred() {
        return Optional.ofNullable(prefer);
    }

    /**
     * What is to be done at that rate.
     *
     * @throws WrongOption if an option is no time, or no label of the rate
     */
    CutlistSettings over(CutlistSettings settings, FrameRate rate) {
        Refinements given = settings.refinements();
        Retake passages = given.retake();
        String returning = leadReturning == null ? lead : leadReturning;
        Refinements refinements = new Refinements(
                frames("--lead", lead, given.leadGoing(), rate),
                frames("--lead-returning", returning, given.leadReturning(), rate),
                frames("--minimum-shot", minimumShot, given.minimumShot(), rate),
                frames("--merge-within", mergeWithin, given.mergeWithin(), rate),
                retake == null ? passages : new Retake(retake, passages.since(), passages.atMost()),
                frames("--head", head, given.head(), rate),
                frames("--tail", tail, given.tail(), rate));
        Layout layout = settings.layout();
        Layout asked = new Layout(
                rate,
                start == null ? layout.start() : label(start, rate),
                frames("--handles", handles, layout.handles(), rate),
                prefer == null ? layout.active() : prefer,
                sound == null ? layout.sound() : sound(sound));
        return new CutlistSettings(
                refinements, asked, snap(settings.snap(), rate), settings.proxy(), settings.original());
    }

    private SnapSettings snap(SnapSettings given, FrameRate rate) {
        String sound = snap == null ? given.sound() : snap.toString();
        // A configuration that does not speak of it has no length for it either.
        long within = given.sound().isEmpty() ? frames("--snap-within", "1s", 0, rate) : given.within();
        return new SnapSettings(sound, frames("--snap-within", snapWithin, within, rate), given.pause(), given.below());
    }

    /** What is wrong with the times, whatever the rate. */
    List<String> faults() {
        List<String> faults = new ArrayList<>();
        fault("--lead", lead).ifPresent(faults::add);
        fault("--lead-returning", leadReturning).ifPresent(faults::add);
        fault("--minimum-shot", minimumShot).ifPresent(faults::add);
        fault("--merge-within", mergeWithin).ifPresent(faults::add);
        fault("--head", head).ifPresent(faults::add);
        fault("--tail", tail).ifPresent(faults::add);
        fault("--handles", handles).ifPresent(faults::add);
        fault("--snap-within", snapWithin).ifPresent(faults::add);
        return faults;
    }

    private static Optional<String> fault(String option, @Nullable String time) {
        try {
            frames(option, time, 0, FrameRate.R25);
            return Optional.empty();
        } catch (WrongOption e) {
            return Optional.ofNullable(e.getMessage());
        }
    }

    private static Sound sound(String word) {
        return word.equals("follows") ? Sound.FOLLOWS : Sound.of(word);
    }

    private static long frames(String option, @Nullable String time, long otherwise, FrameRate rate) {
        try {
            return time == null ? otherwise : rate.frameAt(Durations.parse(time, rate));
        } catch (TimeSyntaxException e) {
            throw new WrongOption(option + " " + e.getMessage());
        }
    }

    private static long label(String label, FrameRate rate) {
        try {
            return Timecode.parse(label, rate).frame();
        } catch (TimeSyntaxException e) {
            throw new WrongOption("--start " + e.getMessage());
        }
    }
}
