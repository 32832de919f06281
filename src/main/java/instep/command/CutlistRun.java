package instep.command;

import instep.after.CutFiles;
import instep.after.RecordedTake;
import instep.after.RefinedTable;
import instep.after.TakeScan;
import instep.cutlist.Clip;
import instep.cutlist.Jump;
import instep.cutlist.Source;
import instep.cutlist.Timeline;
import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;

/** One go of {@code cutlist} through a journal. It looks one take ahead, since the names of files depend on whether there is another. */
final class CutlistRun implements TakeScan.Visitor {
    private final Programmes programmes;
    private final Complaints complaints;
    private final CutFiles files;
    private final Predicate<RecordedTake> wanted;

    private @Nullable RecordedTake waiting;
    private int takes;

    CutlistRun(Programmes programmes, Complaints complaints, CutFiles files, Predicate<RecordedTake> wanted) {
        this.programmes = programmes;
        this.complaints = complaints;
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
        complaints.fail(what);
    }

    /** There are no more; gives the exit code. */
    int end() throws IOException {
        RecordedTake last = waiting;
        if (last != null) {
            cut(last, takes > 1);
        } else {
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
        Optional<Programmes.Programme> found = programmes.of(take);
        if (found.isEmpty()) {
            return;
        }
        String name = "take " + take.take().number();
        Timeline timeline = found.get().timeline();
        System.out.print(RefinedTable.of(take, found.get().refined(), timeline));
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

    private void tellAbout(String name, Timeline timeline) {
        for (Jump jump : timeline.take().jumps()) {
            complaints.tell("timecode jumps within " + name + ", from "
                    + timeline.source(jump.frame() - 1).plus(1) + " to " + timeline.source(jump.frame())
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
