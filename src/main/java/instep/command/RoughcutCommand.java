package instep.command;

import instep.config.ConfigException;
import instep.config.MediaFile;
import instep.daemon.Exit;
import instep.media.MissingProgramException;
import instep.media.Programs;
import instep.media.RoughCut;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CancellationException;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code roughcut}: the edited programme as a film to watch. */
@Command(
        name = "roughcut",
        description = {
            "Films the cut list of a journal's takes, frame by frame, from proxies or originals. Interrupted, it leaves no half film;"
                    + " takes that are finished are kept and not filmed again. Needs ffmpeg."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false,
        footerHeading = "%nExample:%n",
        footer = {"  instep roughcut /var/lib/instep --take 3 --media media.yaml --output rough.mp4", Exit.CODES})
public final class RoughcutCommand implements Callable<Integer> {
    @Mixin
    private JournalCommand.Place place = new JournalCommand.Place();

    @Mixin
    private TakeOptions takes = new TakeOptions();

    @Option(
            names = "--media",
            paramLabel = "FILE",
            required = true,
            description = "Which files show which angle, as `instep match` has written it down.")
    private Path media = Path.of("");

    @Option(
            names = {"-o", "--output"},
            paramLabel = "FILE",
            required = true,
            description = "The film: a name that ends in .mp4, .mov or .mkv.")
    private Path output = Path.of("");

    @Option(names = "--replace", description = "Writes over that file if it is there.")
    private boolean replace;

    @Option(names = "--fill", description = "Black where no file shows a shot; else that is refused.")
    private boolean fill;

    @Option(
            names = "--size",
            paramLabel = "WxH",
            description = "How large the pictures are, such as 1280x720 (default: as the largest, at most 1920x1080).")
    private @Nullable String size;

    @Spec
    private CommandSpec spec = CommandSpec.create();

    @Override
    public Integer call() throws IOException {
        checkOptions();
        if (!replace && Files.exists(output)) {
            System.err.println("instep: " + output + " is there already; --replace writes over it");
            return Exit.WRONG;
        }
        if (!OutputFile.canWrite(List.of(output))) {
            return Exit.WRONG;
        }
        try {
            RoughcutRun run = new RoughcutRun(takes, takes.given(), MediaFile.read(media), Programs.INSTALLED);
            int code = run.plan(place.path(), fill);
            return code == Exit.FINE ? run.film(output, size) : code;
        } catch (ConfigException e) {
            return Faults.tell(e);
        } catch (CutlistWishes.WrongOption e) {
            System.err.println("instep: " + e.getMessage());
            return Exit.WRONG;
        } catch (MissingProgramException e) {
            System.err.println("instep: " + e.getMessage());
            return Exit.FAILED;
        } catch (CancellationException e) {
            System.err.println("instep: stopped; takes that were finished are kept");
            return Exit.FAILED;
        }
    }

    private void checkOptions() {
        takes.check(spec.commandLine());
        if (RoughCut.kind(output).isEmpty()) {
            throw new ParameterException(
                    spec.commandLine(), "--output " + output + ": expected a name that ends in .mp4, .mov or .mkv");
        }
        if (size != null && !size.matches("[1-9][0-9]{1,4}x[1-9][0-9]{1,4}")) {
            throw new ParameterException(spec.commandLine(), "--size " + size + ": expected a size such as 1280x720");
        }
    }
}
