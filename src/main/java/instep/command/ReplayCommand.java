package instep.command;

import instep.after.ShotTable;
import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.daemon.Exit;
import instep.journal.JournalException;
import instep.journal.JournalFolder;
import instep.journal.Key;
import instep.rehearsal.Changes;
import instep.rehearsal.Comparison;
import instep.rehearsal.RecordedRun;
import instep.rehearsal.Replay;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code replay}: a journal again, through the same mapping or another. */
@Command(
        name = "replay",
        description = {
            "Plays the edges of a journal again, through the configuration that it holds or through another one, writes a new journal,"
                    + " and says how the cuts differ. No gear is told anything."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false,
        footerHeading = "%nExample:%n",
        footer = {
            "  instep replay /var/lib/instep my-mapping.yaml -o other-cuts",
            Exit.CODES,
            "With the configuration that the journal holds, other decisions than those in the journal are a failure."
        })
public final class ReplayCommand implements Callable<Integer> {
    private static final int MOST_CHANGES = 40;

    @Parameters(paramLabel = "JOURNAL", index = "0", description = "The folder of a journal, or one file of it.")
    private Path journal = Path.of("");

    @Parameters(
            paramLabel = "CONFIG",
            index = "1..*",
            arity = "0..*",
            description =
                    "A configuration in place of the one that the journal holds; further files override keys of it.")
    private List<Path> config = List.of();

    @Option(
            names = {"-o", "--output"},
            paramLabel = "DIR",
            required = true,
            description = "The folder for the new journal and its event log; it must not hold a journal yet.")
    private Path output = Path.of("");

    @Option(
            names = "--run",
            paramLabel = "N",
            defaultValue = "0",
            description = "Which run, counted from 1 in the order of the journal (default: the last).")
    private int number;

    @Override
    public Integer call() throws IOException {
        if (number < 0 || holdsJournal(output)) {
            System.err.println(
                    number < 0
                            ? "instep: runs are counted from 1"
                            : "instep: " + output + " holds a journal already; name a new folder");
            return Exit.WRONG;
        }
        Optional<RecordedRun> run = RecordedRun.read(journal, number);
        if (run.isEmpty()) {
            System.err.println("instep: there is no " + (number == 0 ? "run" : "run " + number) + " in " + journal
                    + "; a run begins with a record of the kind start, perhaps in the file of the day before");
            return Exit.WRONG;
        }
        try {
            return replay(run.get());
        } catch (ConfigException e) {
            return Faults.tell(e);
        } catch (JournalException e) {
            System.err.println("instep: " + e.getMessage());
            return Exit.FAILED;
        }
    }

    private static boolean holdsJournal(Path folder) throws IOException {
        return Files.isDirectory(folder) && !JournalFolder.journals(folder).isEmpty();
    }

    private int replay(RecordedRun run) throws ConfigException, IOException {
        run.damage().forEach(line -> System.err.println("instep: left out: " + line));
        String file = run.start().text(Key.FILE).orElse("the journal's configuration");
        String recorded = run.config().orElse("");
        Settings settings = config.isEmpty() ? ConfigReader.parse(file, recorded) : ConfigReader.read(config);
        System.out.println(
                "Run " + run.number() + " of " + run.runs() + ", " + run.start().at() + ", with " + settings.file()
                        + (config.isEmpty() ? " as the journal holds it" : ""));
        if (run.configs() > 1) {
            System.out.println(
                    settings.text().equals(recorded)
                            ? "The configuration was changed during this run, and is again."
                            : "The configuration was changed during this run; it is played with one all through.");
        }
        Set<String> unknown = Replay.write(run, settings, output, journal + ", run " + run.number());
        if (!unknown.isEmpty()) {
            System.out.println("Left out, since this configuration does not have them: " + String.join(", ", unknown));
        }
        RecordedRun played = RecordedRun.read(output, 0).orElseThrow();
        boolean same = settings.text().equals(recorded);
        boolean sound = same ? tellDifferences(run, played) : tellChanges(run, played);
        ShotTable.print(output, System.out);
        System.out.println("The new journal is in " + output);
        return sound ? Exit.FINE : Exit.FAILED;
    }

    private static boolean tellDifferences(RecordedRun run, RecordedRun played) throws IOException {
        Comparison both = Comparison.of(run, played);
        System.out.println(
                both.differences().isEmpty()
                        ? both.decisions() + " decisions, all equal to those in the journal."
                        : both.decisions() + " decisions in the journal: " + String.join("\n", both.differences()));
        return both.differences().isEmpty();
    }

    private static boolean tellChanges(RecordedRun run, RecordedRun played) throws IOException {
        Changes changes = Changes.between(run, played);
        System.out.println(
                changes.count() == 0
                        ? "The same cuts, takes and marks as in the journal."
                        : "Other cuts, takes and marks than in the journal (- only there, + only now):");
        changes.lines(MOST_CHANGES).forEach(System.out::println);
        if (changes.count() > MOST_CHANGES) {
            System.out.println("  ... and " + (changes.count() - MOST_CHANGES) + " more");
        }
        return true;
    }
}
