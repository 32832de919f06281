package instep.command;

import instep.after.RecordedTake;
import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Settings;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** Which takes of a journal are meant, and by which configuration. */
sealed class TakeChoice permits TakeOptions {
    private static final String ALL = "all";

    @Option(
            names = "--take",
            paramLabel = "N",
            defaultValue = ALL,
            description = "Which take, or all (default ${DEFAULT-VALUE}).")
    private String take = ALL;

    @Option(names = "--day", paramLabel = "DATE", description = "Only takes of that day, such as 2026-03-02.")
    private @Nullable String day;

    @Option(
            names = "--config",
            paramLabel = "FILE",
            description =
                    "A configuration in place of the one in the journal. Given again: another file that lies over it.")
    private List<Path> config = List.of();

    /** The configuration that was given; empty: that of the journal counts. */
    Optional<Settings> given() throws ConfigException {
        return config.isEmpty() ? Optional.empty() : Optional.of(ConfigReader.read(config));
    }

    boolean isWanted(RecordedTake recorded) {
        return (take.equals(ALL) || Long.parseLong(take) == recorded.take().number())
                && (day == null || day.equals(recorded.day()));
    }

    /** Whether some takes were asked for, not just all. */
    boolean choose() {
        return !take.equals(ALL) || day != null;
    }

    void check(CommandLine line) {
        if (!take.equals(ALL) && !take.matches("[0-9]{1,9}")) {
            throw new ParameterException(line, "--take " + take + ": expected the number of a take, or all");
        }
        if (day != null && !day.matches("[0-9]{4}-[0-9]{2}-[0-9]{2}")) {
            throw new ParameterException(line, "--day " + day + ": expected a date such as 2026-03-02");
        }
    }
}
