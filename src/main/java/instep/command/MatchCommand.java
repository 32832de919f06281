package instep.command;

import instep.config.ConfigException;
import instep.daemon.Exit;
import instep.media.Ffprobe;
import instep.media.MissingProgramException;
import instep.media.Programs;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code match}: which recorded files show what of a journal's takes, and what is missing. */
@Command(
        name = "match",
        description = {
            "Finds out which recorded files show which angle in which take, by their names and timecode, and tells what is"
                    + " missing. It looks at files and changes none of them."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false,
        footerHeading = "%nExample:%n",
        footer = {
            "  instep match /var/lib/instep /media/cards --take 3 --write media.yaml",
            "%nExit codes: 0 fine, 1 a shot of the cut list is not covered, or the work failed, 2 wrong usage or configuration."
        })
public final class MatchCommand implements Callable<Integer> {
    @Parameters(index = "0", paramLabel = "JOURNAL", description = "The folder of a journal, or one file of it.")
    private @Nullable Path journal;

    @Parameters(
            index = "1..*",
            arity = "1..*",
            paramLabel = "FOLDER",
            description = "Where recorded files are; folders in it are looked through as well.")
    private List<Path> folders = List.of();

    @Mixin
    private TakeOptions takes = new TakeOptions();

    @Mixin
    private MediaOutput output = new MediaOutput();

    @Spec
    private CommandSpec spec = CommandSpec.create();

    @Override
    public Integer call() throws IOException {
        takes.check(spec.commandLine());
        for (Path folder : folders) {
            if (!Files.exists(folder)) {
                throw new ParameterException(spec.commandLine(), folder + ": there is no such folder");
            }
        }
        if (!output.isFree(spec.commandLine())) {
            return Exit.WRONG;
        }
        try {
            MatchRun run = new MatchRun(takes, takes.given());
            Path place = StateFolder.of(journal, null);
            run.read(place);
            run.match(folders, new Ffprobe(Programs.INSTALLED));
            run.write(output);
            return run.end(place);
        } catch (ConfigException e) {
            return Faults.tell(e);
        } catch (CutlistWishes.WrongOption e) {
            System.err.println("instep: " + e.getMessage());
            return Exit.WRONG;
        } catch (MissingProgramException e) {
            System.err.println("instep: " + e.getMessage());
            return Exit.FAILED;
        }
    }
}
