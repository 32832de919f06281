package instep.command;

import instep.after.TakeScan;
import instep.config.ConfigException;
import instep.config.MediaFile;
import instep.cutlist.MediaList;
import instep.daemon.Exit;
import instep.report.TextReport;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code report}: a journal's takes as a picture. */
@Command(
        name = "report",
        description = {
            "Shows takes as pictures: what was on air, marks, faults, what the refinements changed, with tables of the cuts, of each angle's shots and"
                    + " of the gear. Refines as `cutlist` does."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false,
        footerHeading = "%nExample:%n",
        footer = {"  instep report /var/lib/instep --take 3 -o lesson.html", "  instep report --text", Exit.CODES})
public final class ReportCommand implements Callable<Integer> {
    private static final int USUAL_WIDTH = 80;

    @Mixin
    private JournalCommand.Place place = new JournalCommand.Place();

    @Option(
            names = {"-o", "--output"},
            paramLabel = "FILE",
            description = "The page to write, such as lesson.html: one file that needs nothing else.")
    private @Nullable Path output;

    @Option(names = "--replace", description = "Writes over a file that is there.")
    private boolean replace;

    @Option(names = "--text", description = "Draws the takes in characters on the terminal.")
    private boolean text;

    @Option(
            names = "--width",
            paramLabel = "COLUMNS",
            description = "How wide the terminal is (else $COLUMNS, else " + USUAL_WIDTH + ").")
    private @Nullable Integer width;

    @Mixin
    private TakeOptions takes = new TakeOptions();

    @Option(
            names = "--media",
            paramLabel = "FILE",
            description = "Tells also what the recorded files cover that `instep match` has written down.")
    private @Nullable Path media;

    @Spec
    private CommandSpec spec = CommandSpec.create();

    @Override
    public Integer call() throws IOException {
        checkOptions();
        if (output != null && !String.valueOf(output.getFileName()).matches(".+\\.html?")) {
            throw new ParameterException(
                    spec.commandLine(),
                    "--output " + output + ": expected a name that ends in .html, so that no recording is hit");
        }
        if (output != null && !replace && Files.exists(output)) {
            System.err.println("instep: " + output + " is there already; --replace writes over it");
            return Exit.WRONG;
        }
        if (output != null && !OutputFile.canWrite(List.of(output))) {
            return Exit.WRONG;
        }
        try {
            Optional<MediaList> listed = media == null ? Optional.empty() : Optional.of(MediaFile.read(media));
            Complaints complaints = new Complaints();
            ReportRun.Sink sink =
                    new ReportRun.Sink(place.path().toString(), Optional.ofNullable(output), text ? columns() : 0);
            int found = run(new ReportRun(takes, complaints, listed, sink), complaints);
            if (found == 0 && takes.choose()) {
                System.err.println("instep: " + NoTake.in(place.path()));
                return Exit.WRONG;
            }
            return complaints.code();
        } catch (ConfigException e) {
            return Faults.tell(e);
        } catch (CutlistWishes.WrongOption e) {
            System.err.println("instep: " + e.getMessage());
            return Exit.WRONG;
        }
    }

    private int run(ReportRun run, Complaints complaints) throws IOException {
        try (run) {
            TakeScan.of(place.path(), run);
            if (run.takes() == 0) {
                System.out.print(takes.choose() ? "" : String.format("No take was recorded.%n"));
                return 0;
            }
            run.finish(List.copyOf(complaints.told()));
            if (output != null) {
                System.out.println("Written: " + output);
            }
            return run.takes();
        }
    }

    private int columns() {
        if (width != null) {
            return width;
        }
        String columns = System.getenv().getOrDefault("COLUMNS", "");
        return columns.matches("[0-9]{1,4}") ? Integer.parseInt(columns) : USUAL_WIDTH;
    }

    private void checkOptions() {
        takes.check(spec.commandLine());
        if (output == null && !text) {
            throw new ParameterException(
                    spec.commandLine(), "say where to: -o FILE.html for a page, --text for the terminal");
        }
        if (width != null && width < TextReport.NARROWEST) {
            throw new ParameterException(
                    spec.commandLine(), "--width " + width + ": expected at least " + TextReport.NARROWEST);
        }
    }
}
