package instep.command;

import instep.after.CutFiles;
import instep.after.TakeScan;
import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.daemon.Exit;
import instep.edit.Format;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
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
        footer = {
            "  instep cutlist /var/lib/instep --take 3 --minimum-shot 500ms --write lesson.edl,lesson.otio",
            Exit.CODES
        })
public final class CutlistCommand implements Callable<Integer> {
    @Mixin
    private JournalCommand.Place place = new JournalCommand.Place();

    @Mixin
    private TakeChoice choice = new TakeChoice();

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

    @Option(
            names = "--config",
            paramLabel = "FILE",
            description =
                    "A configuration in place of the one in the journal. Given again: another file that lies over it.")
    private List<Path> config = List.of();

    @Mixin
    private CutlistWishes wishes = new CutlistWishes();

    @Spec
    private CommandSpec spec = CommandSpec.create();

    @Override
    public Integer call() throws IOException {
        checkOptions();
        try {
            Optional<Settings> settings = config.isEmpty() ? Optional.empty() : Optional.of(ConfigReader.read(config));
            Complaints complaints = new Complaints();
            Programmes programmes = new Programmes(wishes, settings, complaints);
            CutlistRun run = new CutlistRun(programmes, complaints, new CutFiles(write, replace), choice::includes);
            TakeScan.of(place.path(), run);
            int code = run.end();
            if (run.takes() == 0 && !choice.isAll()) {
                System.err.println("instep: there is no such take; `instep journal takes` lists those that there are");
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
        choice.check(spec.commandLine());
        for (Path file : write) {
            if (Format.of(file.toString()).isEmpty()) {
                throw new ParameterException(
                        spec.commandLine(),
                        "--write " + file + ": the name says no format; expected one that ends in "
                                + String.join(", ", Format.suffixes()));
            }
        }
        wishes.faults().stream().findFirst().ifPresent(fault -> {
            throw new ParameterException(spec.commandLine(), fault);
        });
    }
}
