package instep.command;

import instep.after.CoverageTable;
import instep.after.RecordedTake;
import instep.after.TakeScan;
import instep.config.Settings;
import instep.cutlist.Matching;
import instep.cutlist.Media;
import instep.cutlist.MediaList;
import instep.cutlist.Slate;
import instep.cutlist.Timeline;
import instep.daemon.Exit;
import instep.media.Ffprobe;
import instep.media.MediaFolders;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;

/** One go of {@code match}. All takes of the journal are looked at, so that a file of another take than the wanted ones is known as that. */
final class MatchRun implements TakeScan.Visitor {
    /** A take that is to be told about. */
    private record Wanted(int index, Timeline programme, Media needed) {}

    private final TakeOptions options;
    private final TakeSettings settings;
    private final List<Slate> slates = new ArrayList<>();
    private final List<Wanted> wanted = new ArrayList<>();
    private final List<String> unused = new ArrayList<>();
    private final Set<String> told = new LinkedHashSet<>();
    private List<Matching.Matched> matched = List.of();
    private int code = Exit.FINE;

    MatchRun(TakeOptions options, Optional<Settings> given) {
        this.options = options;
        this.settings = new TakeSettings(options.wishes(), given, this::fail);
    }

    void read(Path journal) throws IOException {
        TakeScan.of(journal, this);
    }

    @Override
    public void take(RecordedTake take) {
        Optional<TakeSettings.Held> known = settings.of(take);
        if (known.isEmpty()) {
            return;
        }
        TakeSettings.Held held = known.get();
        if (options.isWanted(take)) {
            Timeline programme = held.timeline(held.refined());
            if (!take.take().jumps().isEmpty()) {
                tell(
                        "timecode jumps within " + held.name()
                                + ": a file that begins after that is taken to have jumped as well; look at it in the list of media");
            }
            wanted.add(new Wanted(slates.size(), programme, programme.layout().active()));
        }
        slates.add(held.slate());
    }

    @Override
    public void damaged(String what) {
        fail(what);
    }

    /** Looks at the files and prints what they cover. */
    void match(List<Path> folders, Ffprobe probe) throws IOException {
        if (slates.isEmpty()) {
            System.out.println("No take was recorded.");
            return;
        }
        MediaFolders.Found found = MediaFolders.look(folders, probe);
        if (found.recordings().isEmpty()) {
            fail("there is no recording in "
                    + folders.stream().map(Path::toString).collect(Collectors.joining(", ")));
        }
        Matching matching = Matching.of(slates, found.recordings());
        matched = wanted.stream().map(one -> matching.takes().get(one.index())).toList();
        Set<String> uncovered = new TreeSet<>();
        for (int i = 0; i < wanted.size(); i++) {
            Wanted one = wanted.get(i);
            System.out.print(CoverageTable.of(one.programme(), matched.get(i), one.needed()));
            if (!CoverageTable.isEnough(one.programme(), matched.get(i), one.needed())) {
                uncovered.add(matched.get(i).slate() + " by its " + one.needed().several());
            }
        }
        unused(matching, found);
        matching.doubts().forEach(this::tell);
        if (!uncovered.isEmpty()) {
            fail("not all shots of the cut list are covered: " + String.join(", ", uncovered));
        }
    }

    private void unused(Matching matching, MediaFolders.Found found) {
        unused.addAll(found.unreadable());
        matching.unused().forEach(one -> unused.add(one.recording().name() + " " + one.why()));
        if (!unused.isEmpty()) {
            System.out.println("Not used:");
            unused.forEach(line -> System.out.println("  " + line));
        }
        if (found.others() > 0) {
            System.out.println(
                    found.others() + (found.others() == 1 ? " other file is" : " other files are") + " no recording.");
        }
    }

    /** Writes the list of media if that is asked for. */
    void write(MediaOutput output) throws IOException {
        output.write(MediaList.of(matched), unused);
    }

    /** The exit code. */
    int end(Path journal) {
        if (wanted.isEmpty() && options.choose()) {
            System.err.println("instep: " + NoTake.in(journal));
            return Exit.WRONG;
        }
        return code;
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
