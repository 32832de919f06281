package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the journal does when the disk is full, stalls or fails. */
class JournalDiskTest {
    @TempDir
    private Path folder;

    private final List<String> log = new CopyOnWriteArrayList<>();

    /** Takes half of what it is given, and then says what Linux says when there is no more room. */
    private static final class FullDisk implements Disk {
        private volatile boolean full = true;

        @Override
        public int write(FileChannel file, ByteBuffer bytes, long position) throws IOException {
            if (!full) {
                return file.write(bytes, position);
            }
            ByteBuffer half = bytes.slice(0, bytes.remaining() / 2);
            file.write(half, position);
            throw new IOException("No space left on device");
        }
    }

    /** Holds each write until it may go on. */
    private static final class StalledDisk implements Disk {
        private final CountDownLatch mayGoOn = new CountDownLatch(1);
        private final CountDownLatch reached = new CountDownLatch(1);

        @Override
        public int write(FileChannel file, ByteBuffer bytes, long position) throws IOException {
            reached.countDown();
            try {
                mayGoOn.await();
            } catch (InterruptedException e) {
                throw new IOException(e);
            }
            return file.write(bytes, position);
        }
    }

    @Test
    void keepsRecordsWhileTheDiskIsFullAndSaysSo() throws IOException {
        FullDisk disk = new FullDisk();
        try (Journal journal = open(disk, Durability.OS, 100)) {
            journal.append(0, 900_000, Happening.mark("retake", null, -1));
            journal.flush();
            await().until(() -> log.stream().anyMatch(line -> line.contains("MARK")));
            assertThat(journal.failing()).hasValue("No space left on device");
            assertThat(log.get(0)).contains("!! FAULT").contains("the journal cannot be written in");

            disk.full = false;
            journal.append(1, 900_001, Happening.mark("chapter", null, -1));
            journal.flush();
            await().until(() -> journal.pending() == 0);
            assertThat(journal.failing()).isEmpty();
            assertThat(journal.lost()).isZero();
        }
        List<Entry> entries = TestJournal.read(TestJournal.file(folder));
        assertThat(entries).extracting(Entry::kind).containsExactly(Kind.MARK, Kind.MARK, Kind.FAULT);
        assertThat(entries.get(2).text(Key.TEXT).orElseThrow())
                .contains("could not be written for", "No space left on device");
        assertThat(log.stream().filter(l -> l.contains("MARK"))).hasSize(2);
    }

    @Test
    void countsWhatItCouldNotKeepAndWritesTheGap() throws IOException {
        StalledDisk disk = new StalledDisk();
        try (Journal journal = open(disk, Durability.OS, 10)) {
            long first = journal.append(0, 0, Happening.mark("retake", null, -1));
            journal.flush();
            await().until(() -> disk.reached.getCount() == 0);
            for (int i = 1; i < 15; i++) {
                journal.append(i, i, Happening.mark("retake", null, -1));
            }
            assertThat(journal.pending()).isEqualTo(10);
            assertThat(journal.lost()).isEqualTo(5);
            disk.mayGoOn.countDown();
            journal.flush();
            await().until(() -> journal.pending() == 0);
            assertThat(journal.append(99, 99, Happening.stop("asked to"))).isEqualTo(first + 16);
        }
        List<Entry> entries = TestJournal.read(TestJournal.file(folder));
        assertThat(entries).extracting(Entry::seq).containsExactly(1L, 2L, 3L, 4L, 5L, 6L, 7L, 8L, 9L, 10L, 16L, 17L);
        assertThat(entries.get(10).kind()).isEqualTo(Kind.FAULT);
        assertThat(entries.get(10).number(Key.GAP)).hasValue(5);
        assertThat(entries.get(11).kind()).isEqualTo(Kind.STOP);
    }

    @Test
    void namesTheGapEvenWhenNothingComesAfterIt() throws IOException {
        StalledDisk disk = new StalledDisk();
        try (Journal journal = open(disk, Durability.OS, 1)) {
            journal.append(0, 0, Happening.mark("retake", null, -1));
            journal.append(1, 1, Happening.stop("asked to"));
            disk.mayGoOn.countDown();
        }
        assertThat(TestJournal.read(TestJournal.file(folder)))
                .extracting(Entry::kind)
                .containsExactly(Kind.MARK, Kind.FAULT);
    }

    @Test
    void givesUpAfterATryWhenItIsClosedWithAFullDisk() throws IOException {
        try (Journal journal = open(new FullDisk(), Durability.OS, 10)) {
            journal.append(0, 0, Happening.stop("asked to"));
        }
        assertThat(log).anySatisfy(line -> assertThat(line).contains("1 records could not be written to the journal"));
        assertThat(TestJournal.read(TestJournal.file(folder))).isEmpty();
        assertThat(TestJournal.file(folder)).isEmptyFile();
    }

    @Test
    void eachRecordIsForcedBeforeItIsShown() throws IOException {
        try (Journal journal = open(watching(), Durability.EACH, 10)) {
            journal.append(0, 0, Happening.mark("retake", null, -1));
            journal.flush();
            await().until(() -> journal.pending() == 0);
            assertThat(log).first().isEqualTo("force");
            assertThat(log.get(1)).contains("MARK");
        }
    }

    @Test
    void aGroupIsForcedSoonAfterItIsShown() throws IOException {
        try (Journal journal = open(watching(), Durability.GROUP, 10)) {
            journal.append(0, 0, Happening.mark("retake", null, -1));
            journal.flush();
            await().until(() -> log.size() == 2);
            assertThat(log.get(0)).contains("MARK");
            assertThat(log.get(1)).isEqualTo("force");
        }
        assertThat(log).hasSize(2);
    }

    @Test
    void theOperatingSystemDecidesUntilTheJournalIsClosed() throws IOException {
        Journal journal = open(watching(), Durability.OS, 10);
        journal.append(0, 0, Happening.mark("retake", null, -1));
        journal.flush();
        await().until(() -> journal.pending() == 0 && journal.threadState() == Thread.State.WAITING);
        assertThat(log).hasSize(1);
        journal.close();
        assertThat(log).last().isEqualTo("force");
    }

    @Test
    void aDiskThatFailsToForceLosesNoOrderAndDoublesNothing() throws IOException {
        Disk failing = new Disk() {
            @Override
            public void force(FileChannel file) throws IOException {
                throw new IOException("Input/output error");
            }
        };
        try (Journal journal = open(failing, Durability.EACH, 10)) {
            journal.append(0, 0, Happening.mark("retake", null, -1));
            journal.flush();
            await().until(() -> journal.pending() == 0);
            journal.append(1, 1, Happening.mark("chapter", null, -1));
        }
        List<Entry> entries = TestJournal.read(TestJournal.file(folder));
        assertThat(entries).extracting(Entry::seq).containsExactly(1L, 2L, 3L, 4L);
        for (int fault : new int[] {1, 3}) {
            assertThat(entries.get(fault).text(Key.TEXT).orElseThrow())
                    .contains("failed to keep the journal (Input/output error)");
        }
    }

    private Disk watching() {
        return new Disk() {
            @Override
            public void force(FileChannel file) {
                log.add("force");
            }
        };
    }

    private Journal open(Disk disk, Durability durability, int limit) throws JournalException {
        return Journal.open(TestJournal.settings(folder, durability, limit), TestJournal.wall(), log::add, disk);
    }
}
