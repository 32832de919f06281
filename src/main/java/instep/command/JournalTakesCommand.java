package instep.command;

import instep.after.TakeList;
import instep.daemon.Exit;
import instep.journal.DamagedLineException;
import instep.journal.Entry;
import instep.journal.JournalScan;
import java.io.IOException;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code journal takes}. */
@Command(
        name = "takes",
        description = "Lists the takes of a journal: when, how long, how often cut, what was marked, what went wrong.",
        mixinStandardHelpOptions = true,
        footerHeading = "%nExample:%n",
        footer = {"  instep journal takes /var/lib/instep", Exit.CODES})
final class JournalTakesCommand implements Callable<Integer> {
    @Mixin
    private JournalCommand.Place place = new JournalCommand.Place();

    @Override
    public Integer call() throws IOException {
        TakeList takes = new TakeList();
        Complaints complaints = new Complaints();
        JournalScan.of(place.path(), new JournalScan.Visitor() {
            @Override
            public void entry(Path file, long line, Entry entry) {
                takes.accept(entry);
            }

            @Override
            public void damaged(DamagedLineException what) {
                complaints.fail(String.valueOf(what.getMessage()));
            }
        });
        System.out.print(takes.text());
        return complaints.code();
    }
}
