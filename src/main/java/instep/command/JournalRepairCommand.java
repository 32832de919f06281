package instep.command;

import instep.daemon.Counts;
import instep.daemon.Exit;
import instep.journal.Repair;
import java.io.IOException;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code journal repair}. */
@Command(
        name = "repair",
        description = {
            "Copies the good lines of a damaged journal into a new folder and says what it left.",
            "The damaged journal itself is not touched. Each place where records are missing is told by a record of its own."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false,
        footerHeading = "%nExample:%n",
        footer = {"  instep journal repair /var/lib/instep -o mended", Exit.CODES})
final class JournalRepairCommand implements Callable<Integer> {
    @Mixin
    private JournalCommand.Place place = new JournalCommand.Place();

    @Option(
            names = {"-o", "--output"},
            paramLabel = "DIR",
            required = true,
            description = "The folder for the mended files.")
    private Path output = Path.of("");

    @Override
    public Integer call() throws IOException {
        Repair.Result result = Repair.of(place.path(), output, System.out::println);
        System.out.println(Counts.of(result.kept(), "record") + " kept, " + Counts.of(result.left(), "place")
                + " left out. The mended journal is in " + output + ".");
        return Exit.FINE;
    }
}
