package instep.command;

import instep.after.RecordedTake;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** Which takes are meant. */
final class TakeChoice {
    private static final String ALL = "all";

    @Option(
            names = "--take",
            paramLabel = "N",
            defaultValue = ALL,
            description = "Which take, or all (default ${DEFAULT-VALUE}).")
    private String take = ALL;

    @Option(names = "--day", paramLabel = "DATE", description = "Only takes of that day, such as 2026-03-02.")
    private @Nullable String day;

    /** Refuses what means nothing. */
    void check(CommandLine line) {
        if (!take.equals(ALL) && !take.matches("[0-9]{1,9}")) {
            throw new ParameterException(line, "--take " + take + ": expected the number of a take, or all");
        }
        if (day != null && !day.matches("[0-9]{4}-[0-9]{2}-[0-9]{2}")) {
            throw new ParameterException(line, "--day " + day + ": expected a date such as 2026-03-02");
        }
    }

    boolean includes(RecordedTake recorded) {
        return (take.equals(ALL) || Long.parseLong(take) == recorded.take().number())
                && (day == null || day.equals(recorded.day()));
    }

    /** Whether nothing was chosen. */
    boolean isAll() {
        return take.equals(ALL) && day == null;
    }
}
