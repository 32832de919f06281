package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Files of limited size, and a folder that stays within its budget. A mark's line has some 150 bytes. */
class BudgetTest {
    private static final Keeping SMALL = new Keeping(Durability.OS, 5_000, 20_000);

    @TempDir
    private Path folder;

    private final List<String> log = new CopyOnWriteArrayList<>();
    private long mono;

    private Journal open() throws JournalException {
        return Journal.open(TestJournal.settings(folder, SMALL, 10_000), TestJournal.wall(), log::add);
    }

    private void add(Journal journal, Happening what) {
        mono += 1_000_000;
        journal.append(mono, 900_000 + mono / 40_000_000, what);
        journal.flush();
    }

    private void run(Journal journal, int takes, int marks) {
        add(journal, RunStart.of("0", "pottery.yaml", 1, "25"));
        add(journal, Happening.config("pottery.yaml", "00", "instep: 1"));
        for (int take = 1; take <= takes; take++) {
            add(journal, Happening.takeOpen(take));
            for (int i = 0; i < marks; i++) {
                add(journal, Happening.mark("chapter", "about the glaze", -1));
            }
            add(journal, Happening.takeClose(take));
        }
    }

    private long bytes() throws IOException {
        long total = 0;
        for (Path file : JournalFolder.journals(folder)) {
            total += Files.size(file);
        }
        return total;
    }

    private List<String> audit() throws IOException {
        List<String> faults = new ArrayList<>();
        Audit audit = new Audit(faults::add);
        JournalScan.of(folder, audit);
        audit.end();
        return faults;
    }

    private List<Kind> kinds() throws IOException {
        List<Kind> kinds = new ArrayList<>();
        for (Path file : JournalFolder.journals(folder)) {
            TestJournal.read(file).forEach(entry -> kinds.add(entry.kind()));
        }
        return kinds;
    }

    @Test
    void beginsAFurtherFileOfTheDayWhereOneIsFull() throws IOException {
        try (Journal journal = open()) {
            run(journal, 9, 10);
        }
        List<Path> files = JournalFolder.journals(folder);
        assertThat(files.stream().map(file -> file.getFileName().toString()))
                .startsWith("journal-2026-03-02.jsonl", "journal-2026-03-02.2.jsonl", "journal-2026-03-02.3.jsonl");
        for (Path file : files) {
            assertThat(Files.size(file)).isLessThan(7_000);
        }
        assertThat(audit()).isEmpty();
        assertThat(kinds()).hasSize(110).endsWith(Kind.TAKE_CLOSE);
    }

    @Test
    void ordersTheTenthFileAfterTheNinth() {
        assertThat(JournalFolder.ORDER.compare(
                        JournalFolder.file(folder, "2026-03-02", 10), JournalFolder.file(folder, "2026-03-02", 9)))
                .isPositive();
        assertThat(JournalFolder.ORDER.compare(
                        JournalFolder.file(folder, "2026-03-02", 1), JournalFolder.file(folder, "2026-03-02", 2)))
                .isNegative();
    }

    @Test
    void goesOnInTheLastFileOfTheDayAfterARestart() throws IOException {
        try (Journal journal = open()) {
            run(journal, 4, 10);
        }
        int files = JournalFolder.journals(folder).size();
        try (Journal journal = open()) {
            run(journal, 1, 1);
        }
        assertThat(JournalFolder.journals(folder)).hasSize(files);
        assertThat(audit()).isEmpty();
    }

    @Test
    void removesTheOldestTakesOfARunThatGoesOnAndKeepsItsBeginning() throws IOException {
        try (Journal journal = open()) {
            run(journal, 30, 20);
        }
        assertThat(bytes()).isLessThan(30_000);
        assertThat(kinds()).startsWith(Kind.START, Kind.CONFIG, Kind.FAULT).endsWith(Kind.TAKE_CLOSE);
        assertThat(audit()).as("what is left is whole").isEmpty();
        assertThat(log).noneMatch(line -> line.contains("budget"));
    }

    @Test
    void removesTheFilesOfRunsThatAreOver() throws IOException {
        for (int i = 0; i < 6; i++) {
            try (Journal journal = open()) {
                run(journal, 6, 20);
            }
        }
        assertThat(JournalFolder.journals(folder).get(0).getFileName().toString())
                .isNotEqualTo("journal-2026-03-02.jsonl");
        assertThat(bytes()).isLessThan(30_000);
        assertThat(audit()).isEmpty();
    }

    @Test
    void leavesATakeThatIsOpenAndSaysThatTheBudgetIsTooSmall() throws IOException {
        try (Journal journal = open()) {
            run(journal, 0, 0);
            add(journal, Happening.takeOpen(1));
            for (int i = 0; i < 400; i++) {
                add(journal, Happening.mark("chapter", "about the glaze", -1));
            }
            add(journal, Happening.takeClose(1));
        }
        assertThat(kinds().stream().filter(kind -> kind == Kind.MARK)).hasSize(400);
        assertThat(String.join("\n", log)).contains("more than its budget", "raise the");
        assertThat(audit()).isEmpty();
    }
}
