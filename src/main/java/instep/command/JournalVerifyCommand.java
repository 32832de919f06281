package instep.command;

import instep.daemon.Counts;
import instep.daemon.Exit;
import instep.journal.Audit;
import instep.journal.JournalScan;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code journal verify}. */
@Command(
        name = "verify",
        description = {
            "Checks a journal against its specification: checksums, fields, numbers, labels, takes.",
            "Names each fault with its file and line, and changes nothing."
        },
        mixinStandardHelpOptions = true,
        footerHeading = "%nExample:%n",
        footer = {"  instep journal verify /var/lib/instep", Exit.CODES, "A journal with a fault is a failure."})
final class JournalVerifyCommand implements Callable<Integer> {
    @Mixin
    private JournalCommand.Place place = new JournalCommand.Place();

    @Override
    public Integer call() throws IOException {
        Path asked = place.path();
        Audit audit = new Audit(System.out::println, Files.isRegularFile(asked));
        JournalScan.of(asked, audit);
        String note = audit.end();
        System.out.println(Counts.of(audit.records(), "record") + ", " + Counts.of(audit.runs(), "run") + ", "
                + Counts.of(audit.takes(), "take") + ": "
                + (audit.faults() == 0 ? "sound" : Counts.of(audit.faults(), "fault"))
                + (note.isEmpty() ? "" : "; " + note));
        return audit.faults() == 0 ? Exit.FINE : Exit.FAILED;
    }
}
