package instep.command;

import instep.after.CutFiles;
import instep.after.RecordedTake;
import instep.after.RefinedTable;
import instep.after.TakeScan;
import instep.config.AngleSettings;
import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.CutlistSettings;
import instep.config.Settings;
import instep.cutlist.Clip;
import instep.cutlist.Jump;
import instep.cutlist.Refined;
import instep.cutlist.Source;
import instep.cutlist.Timeline;
import instep.daemon.Exit;
import java.io.IOException;
import java.nio.file.Path;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;

/** One go of {@code cutlist} through a journal. It looks one take ahead, since the names of files depend on whether there is another. */
final class CutlistRun implements TakeScan.Visitor {
    private final CutlistWishes wishes;
    private final Optional<Settings> given;
    private final CutFiles files;
    private final Predicate<RecordedTake> wanted;
    private final Set<String> told = new LinkedHashSet<>();

    private @Nullable RecordedTake waiting;
    private int takes;
    private int code = Exit.FINE;
    /** The configuration that was read last, by its text. */
    private String text = "";

    private Optional<Settings> recorded = Optional.empty();

    /**
     * A run.
     *
     * @param given a configuration in place of those in the journal
     */
    CutlistRun(CutlistWishes wishes, Optional<Settings> given, CutFiles files, Predicate<RecordedTake> wanted) {
        this.wishes = wishes;
        this.given = given;
        this.files = files;
        this.wanted = wanted;
    }

    @Override
    public void take(RecordedTake take) throws IOException {
        if (!wanted.test(take)) {
            return;
        }
        takes++;
        RecordedTake before = waiting;
        waiting = take;
        if (before != null) {
            cut(before, true);
        }
    }

    @Override
    public void damaged(String what) {
        fail(what);
    }

    /** There are no more; gives the exit code. */
    int end() throws IOException {
        RecordedTake last = waiting;
        if (last != null) {
            cut(last, takes > 1);
        } else {
            System.out.println("No take was recorded.");
        }
        files.losses().forEach(loss -> tell("about " + loss));
        return code;
    }

    /** How many takes there were. */
    int takes() {
        return takes;
    }

    private void cut(RecordedTake take, boolean several) throws IOException {
        String name = "take " + take.take().number();
        Optional<Settings> settings = settings(take);
        CutlistSettings plain = settings.map(Settings::cutlist).orElseGet(() -> CutlistSettings.none(take.rate()));
        if (plain.layout().rate() != take.rate()) {
            fail(name + " was recorded at " + take.rate().label() + ", but the configuration says "
                    + plain.layout().rate().label() + "; it was left out");
            return;
        }
        CutlistSettings asked = wishes.over(plain, take.rate());
        Refined refined = Refined.of(take.take(), asked.refinements());
        Function<String, Source> sources = sources(take, asked, settings);
        Timeline timeline = Timeline.of(title(take), refined, asked.layout(), sources);
        System.out.print(RefinedTable.of(take, refined, timeline));
        tellAbout(name, timeline);
        if (timeline.clips().isEmpty()) {
            tell(name + (take.take().frames() == 0 ? " has no frames" : " has nothing left")
                    + ": no file is written of it");
            return;
        }
        for (Path file : files.write(timeline, several)) {
            System.out.println("Written: " + file);
        }
    }

    private static String title(RecordedTake take) {
        return "Take " + take.take().number() + " of " + take.day();
    }

    private void tellAbout(String name, Timeline timeline) {
        for (Jump jump : timeline.take().jumps()) {
            tell("timecode jumps within " + name + ", from "
                    + timeline.source(jump.frame() - 1).plus(1) + " to " + timeline.source(jump.frame())
                    + ": the shot there is in two parts");
        }
        for (Clip clip : timeline.clips()) {
            Source source = clip.source();
            if (source.angle().isEmpty()) {
                tell("the journal does not tell what was on air at the beginning of " + name);
            } else if (source.reel().isEmpty()) {
                tell("the angle " + source.angle() + " of " + name + " has no reel in the configuration");
            }
        }
        if (!timeline.sound().isEmpty()
                && timeline.sound().get(0).source().reel().isEmpty()) {
            String angle = timeline.sound().get(0).source().angle();
            if (!angle.isEmpty()) {
                tell("the sound of " + name + " is that of " + angle + ", which has no reel in the configuration");
            }
        }
    }

    private static Function<String, Source> sources(
            RecordedTake take, CutlistSettings asked, Optional<Settings> settings) {
        List<AngleSettings> angles = settings.map(Settings::angles).orElse(List.of());
        return angle -> angles.stream()
                .filter(known -> known.name().equals(angle))
                .findFirst()
                .map(known -> asked.source(angle, known.reel(), take.take().number(), take.day()))
                .orElse(Source.unknown(angle));
    }

    /** A configuration that this program cannot read is no reason not to give the cuts. */
    private Optional<Settings> settings(RecordedTake take) {
        if (given.isPresent()) {
            return given;
        }
        if (!take.config().equals(text)) {
            text = take.config();
            recorded = Optional.empty();
            try {
                recorded = Optional.of(ConfigReader.parse(take.file(), text));
            } catch (ConfigException e) {
                fail(
                        "the configuration in the journal cannot be read, so there are no reels and no refinements of it; give one with"
                                + " --config: " + e.faults().get(0));
            }
        }
        return recorded;
    }

    private void fail(String what) {
        code = Exit.FAILED;
        tell(what);
    }

    /** Each thing once. */
    private void tell(String what) {
        if (told.add(what)) {
            System.err.println("instep: " + what);
        }
    }
}
