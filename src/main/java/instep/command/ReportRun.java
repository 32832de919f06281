package instep.command;

import instep.after.RecordedTake;
import instep.after.TakeScan;
import instep.after.TakeTrails;
import instep.config.ConfigException;
import instep.cutlist.Coverage;
import instep.cutlist.Footage;
import instep.cutlist.Matching;
import instep.cutlist.Media;
import instep.cutlist.MediaList;
import instep.cutlist.Refined;
import instep.cutlist.Shot;
import instep.cutlist.Slate;
import instep.cutlist.Timeline;
import instep.edit.Format;
import instep.journal.Entry;
import instep.journal.Kind;
import instep.report.Cover;
import instep.report.Loss;
import instep.report.ReportPage;
import instep.report.TakeStory;
import instep.report.TextReport;
import instep.report.Trail;
import java.io.Closeable;
import java.io.IOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;

/**
 * One go of {@code report} through a journal. The takes are written to a file beside the page as they come; at the end, what stands above them and they become the page,
 * which is whole or not there.
 */
final class ReportRun implements TakeScan.Visitor, Closeable {
    /**
     * From where to where.
     *
     * @param journal how it was named
     * @param page the page; empty: none is wanted
     * @param columns the width of the terminal; 0: nothing is drawn there
     */
    record Sink(String journal, Optional<Path> page, int columns) {}

    private final TakeOptions options;
    private final TakeSettings settings;
    private final Complaints complaints;
    private final Optional<MediaList> media;
    private final Sink sink;
    private final TakeTrails trails = new TakeTrails();
    private final ReportPage page;
    private final Optional<Writer> body;
    private final Set<Loss> losses = new LinkedHashSet<>();
    private int takes;

    /**
     * A run.
     *
     * @param media which files show which angle, if that was found out
     */
    ReportRun(TakeOptions options, Complaints complaints, Optional<MediaList> media, Sink sink)
            throws IOException, ConfigException {
        this.options = options;
        this.complaints = complaints;
        this.media = media;
        this.settings = new TakeSettings(options.wishes(), options.given(), complaints::fail);
        this.sink = sink;
        this.page = new ReportPage("What was on air", sink.journal);
        this.body = sink.page.isPresent() ? Optional.of(writer(part(".takes"))) : Optional.empty();
    }

    @Override
    public Set<Kind> kinds() {
        return TakeTrails.KINDS;
    }

    @Override
    public void entry(Entry entry) {
        trails.accept(entry);
    }

    @Override
    public void damaged(String what) {
        complaints.fail(what);
    }

    @Override
    public void take(RecordedTake take) throws IOException {
        Trail trail = trails.of(take.take());
        if (!options.isWanted(take)) {
            return;
        }
        Optional<TakeSettings.Held> known = settings.of(take);
        if (known.isEmpty()) {
            return;
        }
        TakeSettings.Held held = known.get();
        takes++;
        Refined refined = held.refined();
        Timeline timeline = held.timeline(refined);
        Optional<Matching.Matched> matched = matched(held);
        lose(matched.map(files -> held.timeline(refined, files::of)).orElse(timeline));
        TakeStory story = new TakeStory(
                take.day(), take.file(), angles(held), refined, timeline, trail, covers(matched, timeline));
        if (sink.columns > 0) {
            System.out.print(TextReport.of(story, sink.columns));
        }
        if (body.isPresent()) {
            page.take(story, body.get());
        }
    }

    /** Those of the configuration, and whatever else was on air. */
    private static List<String> angles(TakeSettings.Held held) {
        List<String> angles = new ArrayList<>();
        held.angles().forEach(angle -> angles.add(angle.name()));
        for (Shot shot : held.recorded().take().shots()) {
            if (!angles.contains(shot.angle())) {
                angles.add(shot.angle());
            }
        }
        return angles;
    }

    private void lose(Timeline timeline) {
        if (!timeline.clips().isEmpty()) {
            for (Format format : Format.values()) {
                format.losses(timeline).forEach(loss -> losses.add(new Loss(format.suffix(), loss)));
            }
        }
    }

    /** The files of a take, if somebody has looked for them. */
    private Optional<Matching.Matched> matched(TakeSettings.Held held) {
        if (media.isEmpty()) {
            return Optional.empty();
        }
        Slate slate = held.slate();
        Optional<MediaList.InTake> listed = media.get().of(slate);
        if (listed.isEmpty()) {
            complaints.fail(slate + " from " + slate.from() + " is not in the list of media: match it first");
        }
        return listed.map(take -> MediaList.placed(take, slate));
    }

    /** A sort of file that no angle has is not spoken of, but for originals. */
    private static List<Cover> covers(Optional<Matching.Matched> matched, Timeline timeline) {
        List<Footage> all = matched.map(Matching.Matched::footage).orElse(List.of());
        List<Media> sorts = Stream.of(Media.values())
                .filter(sort -> sort == Media.ORIGINAL
                        || all.stream()
                                .anyMatch(footage ->
                                        Coverage.of(timeline, footage, sort).files() > 0))
                .toList();
        return all.stream()
                .flatMap(footage -> sorts.stream().map(sort -> cover(footage, sort, timeline)))
                .toList();
    }

    private static Cover cover(Footage footage, Media sort, Timeline timeline) {
        Coverage coverage = Coverage.of(timeline, footage, sort);
        List<Cover.Gap> gaps = coverage.gaps().stream()
                .map(gap -> new Cover.Gap(gap.in(), gap.out(), gap.used()))
                .toList();
        return new Cover(footage.angle(), sort.word(), coverage.files(), coverage.permille(), gaps);
    }

    /** How many takes there were. */
    int takes() {
        return takes;
    }

    /** Ends what is drawn on the terminal, and puts the page in its place. */
    void finish(List<String> remarks) throws IOException {
        if (sink.columns > 0) {
            System.out.print(TextReport.of(losses, sink.columns));
        }
        if (body.isEmpty()) {
            return;
        }
        body.get().close();
        try (Writer whole = writer(part(".part"))) {
            page.head(whole, remarks);
            try (java.io.Reader takes = Files.newBufferedReader(part(".takes"), StandardCharsets.UTF_8)) {
                takes.transferTo(whole);
            }
            page.foot(whole, losses);
        }
        Files.move(part(".part"), sink.page.orElseThrow(), StandardCopyOption.REPLACE_EXISTING);
    }

    @Override
    public void close() throws IOException {
        if (body.isPresent()) {
            body.get().close();
            Files.deleteIfExists(part(".takes"));
            Files.deleteIfExists(part(".part"));
        }
    }

    private Path part(String suffix) {
        Path page = sink.page.orElseThrow();
        return page.resolveSibling(page.getFileName() + suffix);
    }

    private static Writer writer(Path file) throws IOException {
        try {
            return Files.newBufferedWriter(file, StandardCharsets.UTF_8);
        } catch (NoSuchFileException e) {
            throw new IOException("cannot write " + file + ": there is no such folder", e);
        }
    }
}
