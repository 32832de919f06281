package instep.command;

import instep.after.CutFiles;
import instep.after.RecordedTake;
import instep.after.RefinedTable;
import instep.after.TakeScan;
import instep.config.Settings;
import instep.cutlist.Clip;
import instep.cutlist.Jump;
import instep.cutlist.Matching;
import instep.cutlist.MediaList;
import instep.cutlist.Refined;
import instep.cutlist.Slate;
import instep.cutlist.Source;
import instep.cutlist.Timeline;
import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** One go of {@code cutlist} through a journal. It looks one take ahead, since the names of files depend on whether there is another. */
final class CutlistRun implements TakeScan.Visitor {
    private final TakeOptions options;
    private final TakeSettings settings;
    private final CutFiles files;
    private final Optional<MediaList> media;
    private final Complaints complaints = new Complaints();

    private @Nullable RecordedTake waiting;
    private int takes;

    /**
     * A run.
     *
     * @param given a configuration in place of those in the journal
     * @param media which files show which angle, if that was found out
     */
    CutlistRun(TakeOptions options, Optional<Settings> given, CutFiles files, Optional<MediaList> media) {
        this.options = options;
        this.settings = new TakeSettings(options.wishes(), given, complaints::fail);
        this.files = files;
        this.media = media;
    }

    @Override
    public void take(RecordedTake take) throws IOException {
        if (!options.isWanted(take)) {
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
        complaints.fail(what);
    }

    /** There are no more; gives the exit code. */
    int end() throws IOException {
        RecordedTake last = waiting;
        if (last != null) {
            cut(last, takes > 1);
        } else if (!options.choose()) {
            System.out.println("No take was recorded.");
        }
        files.losses().forEach(loss -> complaints.tell("about " + loss));
        return complaints.code();
    }

    /** How many takes there were. */
    int takes() {
        return takes;
    }

    private void cut(RecordedTake take, boolean several) throws IOException {
        Optional<TakeSettings.Held> held = settings.of(take);
        if (held.isEmpty()) {
            return;
        }
        Refined refined = held.get().refined();
        Timeline timeline = timeline(held.get(), refined);
        String name = held.get().name();
        System.out.print(RefinedTable.of(take, refined, timeline));
        tellAbout(name, timeline);
        if (timeline.clips().isEmpty()) {
            complaints.tell(name + (take.take().frames() == 0 ? " has no frames" : " has nothing left")
                    + ": no file is written of it");
            return;
        }
        for (Path file : files.write(timeline, several)) {
            System.out.println("Written: " + file);
        }
    }

    private Timeline timeline(TakeSettings.Held held, Refined refined) {
        if (media.isEmpty()) {
            return held.timeline(refined);
        }
        Slate slate = held.slate();
        Optional<Matching.Matched> matched = media.get().of(slate).map(listed -> MediaList.placed(listed, slate));
        if (matched.isEmpty()) {
            complaints.fail(slate + " from " + slate.from() + " is not in the list of media: match it first");
            return held.timeline(refined);
        }
        return held.timeline(refined, matched.get()::of);
    }

    private void tellAbout(String name, Timeline timeline) {
        for (Jump jump : timeline.take().jumps()) {
            complaints.tell("timecode jumps within " + name + ", from "
                    + timeline.after(jump.frame() - 1) + " to " + timeline.source(jump.frame())
                    + ": the shot there is in two parts");
        }
        for (Clip clip : timeline.clips()) {
            Source source = clip.source();
            if (source.angle().isEmpty()) {
                complaints.tell("the journal does not tell what was on air at the beginning of " + name);
            } else if (source.reel().isEmpty()) {
                complaints.tell("the angle " + source.angle() + " of " + name + " has no reel in the configuration");
            }
        }
        if (!timeline.sound().isEmpty()
                && timeline.sound().get(0).source().reel().isEmpty()) {
            String angle = timeline.sound().get(0).source().angle();
            if (!angle.isEmpty()) {
                complaints.tell(
                        "the sound of " + name + " is that of " + angle + ", which has no reel in the configuration");
            }
        }
    }
}
