package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import instep.reference.Installed;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CopyOnWriteArrayList;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What takes longer than the tests of every build: many kills, every byte of a file's end, disks that are really full or cannot be written. */
@Tag("lab")
class CrashIT {
    private static final int KILLS = 200;
    private static final int END = 4096;

    @TempDir
    private Path folder;

    /** The mark that the process has shown last is there after each of the kills, and every run goes on in a sound journal. */
    @Test
    void losesNothingThatWasShownInManyKills() throws IOException, InterruptedException {
        Random random = new Random(20260302);
        int torn = 0;
        for (int kill = 0; kill < KILLS; kill++) {
            Path place = Files.createDirectory(folder.resolve("kill-" + kill));
            List<String> shown = KillTest.shownBefore(1 + random.nextInt(3_000), place);
            torn += Files.exists(TestJournal.file(place)) ? tear(place) : 0;
            assertThat(KillTest.marks(place)).as("kill %d", kill).containsAll(KillTest.steps(shown));
            List<String> faults = new ArrayList<>();
            JournalScan.of(place, new Audit(faults::add));
            assertThat(faults).as("kill %d", kill).isEmpty();
        }
        System.out.println(KILLS + " kills, " + torn + " torn tails");
    }

    /** Opens it again, as a restart does; 1 if there was something to cut off. */
    private static int tear(Path place) throws IOException {
        try (Journal journal = TestJournal.open(place)) {
            return journal.tornTail().isPresent() ? 1 : 0;
        }
    }

    @Test
    void recoversWhereverTheLastFourKibibytesAreCutOrDamaged() throws IOException {
        Path file = TestJournal.file(folder);
        try (Journal journal = TestJournal.open(folder)) {
            for (int i = 0; i < 60; i++) {
                journal.append(i, i, Happening.mark("step", Integer.toString(i), -1));
            }
        }
        byte[] good = Files.readAllBytes(file);
        assertThat(good.length).isGreaterThan(END);
        for (int at = good.length - END; at < good.length; at++) {
            int whole = lines(good, at);
            Files.write(file, Arrays.copyOf(good, at));
            TestJournal.open(folder).close();
            assertThat(TestJournal.read(file)).as("cut at %d", at).hasSize(whole);

            byte[] damaged = good.clone();
            damaged[at] ^= (byte) 0x80;
            Files.write(file, damaged);
            TestJournal.open(folder).close();
            assertThat(read(file)).as("damaged at %d", at).isGreaterThanOrEqualTo(whole);
        }
    }

    /** How many good lines there are. */
    private static int read(Path file) throws IOException {
        List<Entry> entries = new ArrayList<>();
        JournalScan.of(file, new JournalScan.Visitor() {
            @Override
            public void entry(Path of, long line, Entry entry) {
                entries.add(entry);
            }

            @Override
            public void damaged(DamagedLineException what) {
                assertThat(what.line()).isPositive();
            }
        });
        return entries.size();
    }

    private static int lines(byte[] bytes, int length) {
        int lines = 0;
        for (int i = 0; i < length; i++) {
            lines += bytes[i] == '\n' ? 1 : 0;
        }
        return lines;
    }

    @Test
    void writesWhatItKeptWhenAFullDiskHasRoomAgain() throws IOException, InterruptedException {
        Path disk = mount("size=256k");
        try {
            Path filler = disk.resolve("filler");
            Files.write(filler, new byte[200 * 1024]);
            List<String> log = new CopyOnWriteArrayList<>();
            try (Journal journal = TestJournal.open(disk, log::add)) {
                for (int i = 0; i < 900; i++) {
                    journal.append(i, i, Happening.mark("step", Integer.toString(i), -1));
                }
                journal.flush();
                Awaitility.await().until(() -> journal.failing().isPresent());
                assertThat(journal.failing())
                        .hasValueSatisfying(why -> assertThat(why).contains("space"));
                Files.delete(filler);
                Awaitility.await().until(() -> journal.failing().isEmpty());
            }
            assertThat(log).anyMatch(line -> line.contains("the journal cannot be written"));
            List<Entry> entries = TestJournal.read(TestJournal.file(disk));
            assertThat(entries.stream().filter(entry -> entry.kind() == Kind.MARK))
                    .hasSize(900);
            List<String> faults = new ArrayList<>();
            JournalScan.of(disk, new Audit(faults::add));
            assertThat(faults).isEmpty();
        } finally {
            run("umount", disk.toString());
        }
    }

    @Test
    void saysThatADiskCannotBeWritten() throws IOException, InterruptedException {
        Path disk = mount("ro");
        try {
            assertThatThrownBy(() -> TestJournal.open(disk))
                    .isInstanceOf(JournalException.class)
                    .hasMessageContaining(disk.toString())
                    .hasMessageContaining("ead-only");
        } finally {
            run("umount", disk.toString());
        }
    }

    /** A disk of its own in memory; only root can do that, as in a container. */
    private Path mount(String options) throws IOException, InterruptedException {
        Path disk = Files.createDirectory(folder.resolve("disk"));
        Installed.mounted(run("mount", "-t", "tmpfs", "-o", options, "tmpfs", disk.toString()));
        return disk;
    }

    private static boolean run(String... command) throws IOException, InterruptedException {
        return new ProcessBuilder(command).inheritIO().start().waitFor() == 0;
    }
}
