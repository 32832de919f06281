package instep.command;

import instep.after.CutFiles;
import instep.after.TakeScan;
import instep.config.ConfigException;
import instep.config.MediaFile;
import instep.cutlist.MediaList;
import instep.daemon.Exit;
import instep.edit.Format;
import java.io.IOException;
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

/** {@code cutlist}: from a journal to files for an editing program. */
@Command(
        name = "cutlist",
        description = {
            "Makes cut lists of a journal's takes: refines them as the configuration in the journal and the options say, prints them,"
                    + " and writes files for editing programs. What a format cannot say is told on standard error."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false,
        footerHeading = "%nExample:%n",
        footer = {"  instep cutlist --take 3 --minimum-shot 500ms -w lesson.edl,lesson.otio", Exit.CODES})
public final class CutlistCommand implements Callable<Integer> {
    @Mixin
    private JournalCommand.Place place = new JournalCommand.Place();

    @Mixin
    private TakeOptions takes = new TakeOptions();

    @Option(
            names = "--media",
            paramLabel = "FILE",
            description = "Which files show which angle, as `instep match` has written it down.")
    private @Nullable Path media;

    @Option(
            names = {"-w", "--write"},
            paramLabel = "FILE",
            split = ",",
            description =
                    "Files to write; the end of the name says how: .edl (CMX 3600), .otio (OpenTimelineIO), .vtt (WebVTT), .csv,"
                            + " .ffconcat (FFmpeg). With several takes the name gets the number of each.")
    private List<Path> write = List.of();

    @Option(names = "--replace", description = "Writes over files that are there.")
    private boolean replace;

    @Spec
    private CommandSpec spec = CommandSpec.create();

    @Override
    public Integer call() throws IOException {
        checkOptions();
        if (!OutputFile.canWrite(write)) {
            return Exit.WRONG;
        }
        try {
            Optional<MediaList> listed = media == null ? Optional.empty() : Optional.of(MediaFile.read(media));
            CutlistRun run = new CutlistRun(takes, takes.given(), new CutFiles(write, replace), listed);
            TakeScan.of(place.path(), run);
            int code = run.end();
            if (run.takes() == 0 && takes.choose()) {
                System.err.println("instep: " + NoTake.in(place.path()));
                return Exit.WRONG;
            }
            return code;
        } catch (ConfigException e) {
            return Faults.tell(e);
        } catch (CutFiles.ExistsException e) {
            System.err.println("instep: " + e.getMessage());
            return Exit.WRONG;
        } catch (CutlistWishes.WrongOption e) {
            System.err.println("instep: " + e.getMessage());
            return Exit.WRONG;
        }
    }

    private void checkOptions() {
        takes.check(spec.commandLine());
        for (Path file : write) {
            if (Format.of(file.toString()).isEmpty()) {
                throw new ParameterException(
                        spec.commandLine(),
                        "--write " + file + ": the name says no format; expected one that ends in "
                                + String.join(", ", Format.suffixes()));
            }
        }
    }
}
