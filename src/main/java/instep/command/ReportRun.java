package instep.command;

import instep.after.RecordedTake;
import instep.after.TakeScan;
import instep.after.TakeTrails;
import instep.cutlist.Shot;
import instep.journal.Entry;
import instep.journal.Kind;
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
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;

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

    private final Programmes programmes;
    private final Complaints complaints;
    private final Predicate<RecordedTake> wanted;
    private final Sink sink;
    private final TakeTrails trails = new TakeTrails();
    private final ReportPage page;
    private final Optional<Writer> body;
    private int takes;

    ReportRun(Programmes programmes, Complaints complaints, Predicate<RecordedTake> wanted, Sink sink)
            throws IOException {
        this.programmes = programmes;
        this.complaints = complaints;
        this.wanted = wanted;
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
        Trail trail = trails.next();
        if (!wanted.test(take)) {
            return;
        }
        Optional<Programmes.Programme> programme = programmes.of(take);
        if (programme.isEmpty()) {
            return;
        }
        takes++;
        TakeStory story = new TakeStory(
                take.day(),
                take.file(),
                angles(take, programme.get().angles()),
                programme.get().refined(),
                programme.get().timeline(),
                trail,
                List.of());
        if (sink.columns > 0) {
            System.out.print(TextReport.of(story, sink.columns));
        }
        if (body.isPresent()) {
            page.take(story, body.get());
        }
    }

    /** Those of the configuration, and whatever else was on air. */
    private static List<String> angles(RecordedTake take, List<String> known) {
        List<String> angles = new ArrayList<>(known);
        for (Shot shot : take.take().shots()) {
            if (!angles.contains(shot.angle())) {
                angles.add(shot.angle());
            }
        }
        return angles;
    }

    /** How many takes there were. */
    int takes() {
        return takes;
    }

    /** Puts the page in its place. */
    void finish(List<String> remarks) throws IOException {
        if (body.isEmpty()) {
            return;
        }
        body.get().close();
        try (Writer whole = writer(part(".part"))) {
            page.head(whole, remarks);
            try (java.io.Reader takes = Files.newBufferedReader(part(".takes"), StandardCharsets.UTF_8)) {
                takes.transferTo(whole);
            }
            page.foot(whole);
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
