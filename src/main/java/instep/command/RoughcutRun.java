package instep.command;

import instep.after.RecordedTake;
import instep.after.RoughCutPlan;
import instep.after.TakeScan;
import instep.config.Settings;
import instep.cutlist.Matching;
import instep.cutlist.Media;
import instep.cutlist.MediaList;
import instep.cutlist.Slate;
import instep.cutlist.Timeline;
import instep.daemon.Exit;
import instep.media.Canvas;
import instep.media.Ffprobe;
import instep.media.Programs;
import instep.media.RoughCut;
import instep.media.TakeCut;
import instep.time.FrameRate;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** One go of {@code roughcut}: first it is planned what is filmed, and all that stands against it is told; then it is filmed. */
final class RoughcutRun implements TakeScan.Visitor {
    private final TakeOptions options;
    private final TakeSettings settings;
    private final MediaList media;
    private final Programs programs;
    private final List<Timeline> timelines = new ArrayList<>();
    private final RoughCutPlan plan;
    private int takes;
    private int code = Exit.FINE;

    RoughcutRun(TakeOptions options, Optional<Settings> given, MediaList media, Programs programs) {
        this.options = options;
        this.settings = new TakeSettings(options.wishes(), given, this::fail);
        this.media = media;
        this.programs = programs;
        // A rough cut is to be there soon, so small pictures are taken unless somebody says otherwise.
        Media first = options.wishes().preferred().orElse(Media.PROXY);
        this.plan = new RoughCutPlan(
                List.of(first, first == Media.PROXY ? Media.ORIGINAL : Media.PROXY), new Ffprobe(programs));
    }

    @Override
    public void take(RecordedTake take) {
        if (!options.isWanted(take)) {
            return;
        }
        takes++;
        settings.of(take).ifPresent(this::lay);
    }

    private void lay(TakeSettings.Held held) {
        Slate slate = held.slate();
        Optional<Matching.Matched> matched = media.of(slate).map(listed -> MediaList.placed(listed, slate));
        Timeline timeline = held.timeline(held.refined(), matched.orElse(new Matching.Matched(slate, List.of()))::of);
        if (timeline.clips().isEmpty()) {
            System.err.println("instep: " + held.name() + " has nothing left to show");
        } else if (matched.isEmpty()) {
            fail(slate + " from " + slate.from()
                    + " is not in the list of media: match it, or choose others with --take");
        } else {
            timelines.add(timeline);
        }
    }

    @Override
    public void damaged(String what) {
        System.err.println("instep: " + what);
    }

    /**
     * Reads the journal and the files.
     *
     * @param fill whether black may stand where no file shows a shot
     */
    int plan(Path journal, boolean fill) throws IOException {
        TakeScan.of(journal, this);
        if (takes == 0) {
            System.err.println(
                    "instep: " + (options.choose() ? NoTake.in(journal) : "no take was recorded in " + journal));
            return Exit.WRONG;
        }
        if (timelines.stream().map(Timeline::rate).distinct().count() > 1) {
            System.err.println(
                    "instep: the takes have different frame rates, which one film cannot have: choose some with --take or --day");
            return Exit.WRONG;
        }
        for (Timeline timeline : timelines) {
            plan.add(timeline);
        }
        plan.notes().forEach(note -> System.err.println("instep: " + note));
        plan.gaps().forEach(gap -> System.err.println("instep: " + gap + (fill ? ": it is black" : "")));
        if (!fill && !plan.gaps().isEmpty()) {
            fail("nothing was filmed; --fill makes what is missing black");
        }
        if (code == Exit.FINE && timelines.isEmpty()) {
            fail("there is nothing to film");
        }
        return code;
    }

    /** Films it; the process may be ended meanwhile and leaves no half film. */
    int film(Path output, @Nullable String size) throws IOException {
        if (plan.isOf(output)) {
            System.err.println("instep: " + output + " is one of the files that were recorded: name another one");
            return Exit.WRONG;
        }
        if (Files.exists(output) && !new Ffprobe(programs).isRoughCut(output)) {
            System.err.println("instep: " + output
                    + " is no rough cut of ours, and may be a recording: it is not written over; name another one");
            return Exit.WRONG;
        }
        Timeline first = timelines.get(0);
        List<TakeCut> cuts = plan.takes();
        ProgressLine progress = new ProgressLine(
                System.out,
                TailCommand.isTerminal(),
                System::nanoTime,
                cuts.stream().mapToLong(TakeCut::frames).sum());
        RoughCut cut = new RoughCut(programs, canvas(size, first.rate()), output, progress::done);
        Thread end = new Thread(cut::cancel, "end");
        Runtime.getRuntime().addShutdownHook(end);
        try {
            cut.make(cuts, first.record(0));
        } finally {
            progress.end();
            letGo(end);
        }
        System.out.println("Written: " + output);
        return Exit.FINE;
    }

    /** When the process is being ended already, the hook is running and stays. */
    private static void letGo(Thread hook) {
        try {
            Runtime.getRuntime().removeShutdownHook(hook);
        } catch (IllegalStateException e) {
            // It has what it waited for.
        }
    }

    private Canvas canvas(@Nullable String size, FrameRate rate) {
        if (size == null) {
            return plan.canvas(rate);
        }
        int x = size.indexOf('x');
        return new Canvas(even(size.substring(0, x)), even(size.substring(x + 1)), rate);
    }

    private static int even(String length) {
        return Math.max(2, Integer.parseInt(length) / 2 * 2);
    }

    private void fail(String what) {
        code = Exit.FAILED;
        System.err.println("instep: " + what);
    }
}
