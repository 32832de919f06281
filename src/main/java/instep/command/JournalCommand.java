package instep.command;

import instep.daemon.Exit;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code journal}: looks at journals, checks and mends them. */
@Command(
        name = "journal",
        description = "Looks at a journal, checks it, and mends a damaged one.",
        subcommands = {
            JournalTakesCommand.class,
            JournalShowCommand.class,
            JournalVerifyCommand.class,
            JournalRepairCommand.class
        },
        mixinStandardHelpOptions = true,
        synopsisSubcommandLabel = "COMMAND",
        footerHeading = "%nExample:%n",
        footer = {"  instep journal takes", "  instep journal show --take 3", Exit.CODES})
public final class JournalCommand implements Runnable {
    @Spec
    private CommandSpec spec = CommandSpec.create();

    @Override
    public void run() {
        throw Misunderstood.whichCommand(spec.commandLine());
    }

    /** Which journal is meant. */
    static final class Place {
        @Parameters(
                paramLabel = "JOURNAL",
                arity = "0..1",
                description = "The folder of a journal, or one file of it (else the folder that `run` would take).")
        private @Nullable Path place;

        Path path() {
            return StateFolder.of(place, null);
        }
    }
}
