package instep.command;

import instep.daemon.Exit;
import instep.journal.DamagedLineException;
import instep.journal.Entry;
import instep.journal.EventLines;
import instep.journal.JournalFollower;
import instep.journal.JournalScan;
import instep.journal.Key;
import instep.journal.Kind;
import instep.time.FrameRate;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code journal show}. */
@Command(
        name = "show",
        description = "Shows what the journal holds, a line for each record, as the event log does.",
        mixinStandardHelpOptions = true,
        sortOptions = false,
        footerHeading = "%nExample:%n",
        footer = {
            "  instep journal show --take 3 --kind cut,mark",
            "  instep journal show --from 14:30 --to 14:45",
            Exit.CODES
        })
final class JournalShowCommand implements Callable<Integer>, JournalScan.Visitor {
    private static final String TIME = "([0-9]{4}-[0-9]{2}-[0-9]{2}T)?[0-9]{2}(:[0-9]{2}(:[0-9]{2})?)?";
    /** Where the time of day begins in RFC 3339. */
    private static final int TIME_AT = 11;

    @Mixin
    private JournalCommand.Place place = new JournalCommand.Place();

    @Option(names = "--take", paramLabel = "N", description = "Only what happened during take N, of whichever day.")
    private long take = -1;

    @Option(names = "--kind", paramLabel = "KIND", split = ",", description = "Only records of these kinds.")
    private List<String> words = List.of();

    @Option(
            names = "--from",
            paramLabel = "TIME",
            description = "Only from this time on: 14:30, 14:30:05, or with its day 2026-03-02T14:30.")
    private @Nullable String from;

    @Option(names = "--to", paramLabel = "TIME", description = "Only up to this time, which is included.")
    private @Nullable String to;

    @Option(
            names = {"-f", "--follow"},
            description = "Goes on with what is written from now on, until Ctrl-C.")
    private boolean follow;

    @Spec
    private CommandSpec spec = CommandSpec.create();

    private Set<Kind> kinds = EnumSet.allOf(Kind.class);
    private EventLines lines = new EventLines(FrameRate.R25, true, System.out::println);
    private long openTake = -1;
    private long damaged;
    private boolean found;

    @Override
    public Integer call() throws IOException {
        kinds = kinds();
        checkTime("--from", from);
        checkTime("--to", to);
        Path asked = place.path();
        if (follow) {
            try (JournalFollower follower = JournalFollower.open(asked)) {
                follower.follow(this);
            }
        } else {
            JournalScan.of(asked, this);
            if (take >= 0 && !found) {
                System.err.println("instep: " + NoTake.in(asked));
                return Exit.WRONG;
            }
        }
        return damaged == 0 ? Exit.FINE : Exit.FAILED;
    }

    @Override
    public void entry(Path file, long line, Entry entry) {
        if (entry.kind() == Kind.START) {
            lines = new EventLines(
                    entry.text(Key.RATE).flatMap(FrameRate::named).orElse(FrameRate.R25), true, System.out::println);
            openTake = -1;
        }
        if (entry.kind() == Kind.TAKE_OPEN) {
            openTake = entry.number(Key.TAKE).orElse(-1);
            found |= openTake == take;
        }
        if (kinds.contains(entry.kind()) && (take < 0 || take == openTake) && isInTime(entry.at())) {
            lines.show(entry);
        } else {
            lines.pass(entry);
        }
        if (entry.kind() == Kind.TAKE_CLOSE) {
            openTake = -1;
        }
    }

    @Override
    public void damaged(DamagedLineException what) {
        damaged++;
        System.err.println("instep: " + what.getMessage());
    }

    /** Times of the same form compare as texts. */
    private boolean isInTime(String at) {
        return (from == null || part(at, from).compareTo(from) >= 0)
                && (to == null || part(at, to).compareTo(to) <= 0);
    }

    private static String part(String at, String like) {
        int start = like.contains("T") ? 0 : TIME_AT;
        return at.substring(start, start + like.length());
    }

    private void checkTime(String option, @Nullable String text) {
        if (text != null && !text.matches(TIME)) {
            throw new CommandLine.ParameterException(
                    spec.commandLine(),
                    option + " " + text + ": expected a time such as 14:30, 14:30:05 or 2026-03-02T14:30");
        }
    }

    private Set<Kind> kinds() {
        if (words.isEmpty()) {
            return EnumSet.allOf(Kind.class);
        }
        List<Kind> found = new ArrayList<>();
        for (String word : words) {
            found.add(Kind.named(word)
                    .orElseThrow(() -> new CommandLine.ParameterException(
                            spec.commandLine(),
                            "there are no records of the kind \"" + word + "\"; there are "
                                    + Arrays.stream(Kind.values())
                                            .map(Kind::word)
                                            .collect(Collectors.joining(", ")))));
        }
        return EnumSet.copyOf(found);
    }
}
