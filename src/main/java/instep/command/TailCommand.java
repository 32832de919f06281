package instep.command;

import instep.daemon.Exit;
import instep.journal.EventLog;
import instep.journal.JournalException;
import instep.journal.LineColours;
import instep.journal.LogFollower;
import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import java.util.function.UnaryOperator;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code tail}: follows the event log. */
@Command(
        name = "tail",
        description = "Follows the event log, in colour on a terminal; Ctrl-C ends it.",
        mixinStandardHelpOptions = true,
        footerHeading = "%nExample:%n",
        footer = {"  instep tail /var/lib/instep", Exit.CODES})
public final class TailCommand implements Callable<Integer> {
    @Parameters(
            paramLabel = "DIR",
            arity = "0..1",
            description = "The folder of the journal, or an event log itself (else the folder that `run` would take).")
    private @Nullable Path place;

    @Option(
            names = {"-n", "--lines"},
            paramLabel = "N",
            defaultValue = "20",
            description = "How many lines to begin with (default ${DEFAULT-VALUE}).")
    private int lines;

    @Override
    public Integer call() throws IOException {
        Path asked = StateFolder.of(place, null);
        Path log = Files.isDirectory(asked) ? asked.resolve(EventLog.FILE) : asked;
        if (Files.notExists(log)) { // which is not known where this user may not look
            System.err.println("instep: there is no event log at " + log
                    + " yet; name the folder that `run --journal` was given, or wait here until it comes.");
        }
        UnaryOperator<String> look = isTerminal() ? LineColours::paint : line -> line;
        try (LogFollower follower = LogFollower.open(log, lines, line -> show(look.apply(line)))) {
            follower.follow();
            return Exit.FINE;
        } catch (AccessDeniedException e) {
            System.err.println("instep: " + e.getMessage() + " may not be read by this user. "
                    + JournalException.NOT_OF_THE_GROUP);
            return Exit.FAILED;
        }
    }

    /** Ends when nobody reads any more, as in {@code instep tail | head}. */
    private static void show(String line) {
        System.out.println(line);
        if (System.out.checkError()) {
            Thread.currentThread().interrupt();
        }
    }

    /** {@link Quiet} keeps newer Java to the old meaning: no console without a terminal. */
    @SuppressWarnings("SystemConsoleNull")
    static boolean isTerminal() {
        return System.console() != null;
    }
}
