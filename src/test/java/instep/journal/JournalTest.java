package instep.journal;

import static instep.journal.TestJournal.SECOND;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.LongUnaryOperator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class JournalTest {
    @TempDir
    private Path folder;

    @Test
    void writesARecordAsALineWithItsChecksum() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(12 * SECOND + 280_000_001, 900_307, Happening.cut("wheel", "wide", 7, 12 * SECOND));
        }
        String checked = "{\"seq\":1,\"at\":\"2026-03-02T10:00:12.280000001+01:00\",\"mono\":12280000001,"
                + "\"tc\":\"10:00:12:07\",\"kind\":\"cut\",\"frame\":900307,"
                + "\"angle\":\"wheel\",\"from\":\"wide\",\"cause\":7,\"began\":12000000000";
        String crc = Crc32cBitByBit.hex(checked.getBytes(StandardCharsets.UTF_8));
        assertThat(TestJournal.file(folder)).hasContent(checked + ",\"crc\":\"" + crc + "\"}\n");
    }

    @Test
    void readsBackWhatWasWritten() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, RunStart.of("0.1.0", "pottery.yaml", 4711, "25"));
            journal.append(1, 0, Happening.config("pottery.yaml", "ab12", "a: \"b\"\n\tü\u0000"));
            journal.append(Long.MAX_VALUE / 4, 2_160_000, Happening.reply("mixer", "ONAIR wide", -1));
        }
        List<Entry> entries = TestJournal.read(TestJournal.file(folder));
        assertThat(entries).extracting(Entry::seq).containsExactly(1L, 2L);
        assertThat(entries.get(0).number(Key.PID)).hasValue(4711);
        assertThat(entries.get(1).text(Key.TEXT)).hasValue("a: \"b\"\n\tü\u0000");
        List<Path> files = JournalFolder.journals(folder);
        Entry far = TestJournal.read(files.get(1)).get(0);
        assertThat(far.mono()).isEqualTo(Long.MAX_VALUE / 4);
        assertThat(far.tc()).isEqualTo("00:00:00:00");
        assertThat(far.fields()).containsOnlyKeys(Key.GEAR, Key.TEXT);
    }

    @Test
    void goesOnInTheFileOfTheDayAfterARestart() throws IOException {
        for (int run = 0; run < 2; run++) {
            try (Journal journal = TestJournal.open(folder)) {
                journal.append(0, 0, RunStart.of("0.1.0", "pottery.yaml", run, "25"));
                journal.append(1, 0, Happening.stop("asked to"));
                assertThat(journal.tornTail()).isEmpty();
                assertThat(journal.behind()).isEmpty();
            }
        }
        assertThat(TestJournal.read(TestJournal.file(folder)))
                .extracting(Entry::kind)
                .containsExactly(Kind.START, Kind.STOP, Kind.START, Kind.STOP);
    }

    @Test
    void beginsANewFileAtMidnightOfItsZoneAndNeverGoesBackToAnEarlierOne() throws IOException {
        long evening = 13 * 3_600 * SECOND;
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(evening, 1, Happening.takeOpen(1));
            journal.append(evening + 3_600 * SECOND - 1, 2, Happening.takeClose(1));
            journal.append(evening + 3_600 * SECOND, 3, Happening.takeOpen(2));
            journal.append(evening, 4, Happening.takeClose(2));
        }
        assertThat(JournalFolder.journals(folder))
                .extracting(f -> f.getFileName().toString())
                .containsExactly("journal-2026-03-02.jsonl", "journal-2026-03-03.jsonl");
        assertThat(TestJournal.read(TestJournal.file(folder)))
                .extracting(Entry::seq)
                .containsExactly(1L, 2L);
        List<Entry> next = TestJournal.read(folder.resolve("journal-2026-03-03.jsonl"));
        assertThat(next).extracting(Entry::seq).containsExactly(3L, 4L);
        assertThat(next.get(0).at()).isEqualTo("2026-03-03T00:00:00.000000000+01:00");
    }

    /** A mini PC whose battery is empty wakes up years ago, until the network tells it the time. */
    @Test
    void goesOnInTheLastFileWhenTheClockIsBehindIt() throws IOException {
        Path later = folder.resolve("journal-2026-03-04.2.jsonl");
        Files.createFile(folder.resolve("journal-2026-03-04.jsonl"));
        Files.createFile(later);
        try (Journal journal = TestJournal.open(folder)) {
            assertThat(journal.behind().orElseThrow())
                    .contains("2026-03-02", "has come to 2026-03-04", "go on in journal-2026-03-04.2.jsonl");
            journal.append(0, 1, RunStart.of("0.1.0", "pottery.yaml", 1, "25"));
        }
        assertThat(TestJournal.read(later))
                .singleElement()
                .satisfies(start -> assertThat(start.at()).startsWith("2026-03-02"));
        assertThat(TestJournal.file(folder)).doesNotExist();
    }

    @Test
    void showsAPersonEachRecordAfterItIsWritten() throws IOException {
        List<String> log = new ArrayList<>();
        try (Journal journal = TestJournal.open(folder, log::add)) {
            journal.append(0, 900_000, Happening.mark("retake", null, -1));
        }
        assertThat(log).containsExactly("10:00:00:00  -           MARK    retake");
    }

    @Test
    void canBeReadWhileItIsWritten() throws IOException {
        int count = 5_000;
        List<Long> seen = new ArrayList<>();
        LongUnaryOperator wall = TestJournal.wall();
        try (Journal journal = Journal.open(TestJournal.settings(folder, Durability.OS, count), wall, line -> {});
                JournalReader reader = JournalReader.open(TestJournal.file(folder))) {
            for (int i = 0; i < count; i++) {
                journal.append(i, i, Happening.mark("chapter", "step " + i, -1));
                journal.flush();
                reader.next().ifPresent(entry -> seen.add(entry.seq()));
            }
            await().until(() -> {
                for (Optional<Entry> e = reader.next(); e.isPresent(); e = reader.next()) {
                    seen.add(e.get().seq());
                }
                return seen.size() == count;
            });
        }
        assertThat(seen).isSorted().doesNotHaveDuplicates().endsWith((long) count);
    }

    @Test
    void sleepsWithoutATimerWhenNothingHappens() throws IOException {
        try (Journal journal =
                Journal.open(TestJournal.settings(folder, Durability.GROUP, 10), TestJournal.wall(), line -> {})) {
            journal.append(0, 0, Happening.mark("retake", null, -1));
            journal.flush();
            await().until(() -> journal.pending() == 0);
            await().until(() -> journal.threadState() == Thread.State.WAITING);
        }
    }

    @Test
    void refusesAFolderInWhichAnotherIsWriting() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            assertThatThrownBy(() -> TestJournal.open(folder))
                    .isInstanceOf(JournalException.class)
                    .hasMessage("another instep is keeping its journal in " + folder
                            + ": stop that one first, or name another folder.");
            assertThat(journal.folder()).isEqualTo(folder);
        }
        TestJournal.open(folder).close();
    }

    @Test
    void saysWhichFolderItCannotWriteTo() throws IOException {
        Path file = Files.writeString(folder.resolve("taken"), "x");
        assertThatThrownBy(() -> TestJournal.open(file))
                .isInstanceOf(JournalException.class)
                .hasMessageStartingWith("cannot keep a journal in " + file + ": there is a file of that name")
                .hasMessageContaining("name another folder");
        assertThatThrownBy(() -> TestJournal.open(file.resolve("below")))
                .isInstanceOf(JournalException.class)
                .hasMessageStartingWith("cannot keep a journal in " + file.resolve("below") + ": ")
                .hasMessageNotContaining("Exception");
        assertThatThrownBy(() -> TestJournal.open(Path.of("/proc/instep")))
                .isInstanceOf(JournalException.class)
                .hasMessageStartingWith("cannot keep a journal in /proc/instep: ");
    }

    @Test
    void aFolderThatCouldNotBeUsedIsFreeAgain() throws IOException {
        Path taken = Files.createDirectories(TestJournal.file(folder));
        assertThatThrownBy(() -> TestJournal.open(folder)).isInstanceOf(JournalException.class);
        Files.delete(taken);
        TestJournal.open(folder).close();
        assertThat(TestJournal.file(folder)).isEmptyFile();
    }

    @Test
    void aWallClockThatIsSetShowsInTheTimesOnly() throws IOException {
        long[] step = {0};
        LongUnaryOperator wall = TestJournal.wall();
        try (Journal journal = Journal.open(
                TestJournal.settings(folder, Durability.OS, 10), mono -> wall.applyAsLong(mono) + step[0], l -> {})) {
            journal.append(SECOND, 25, Happening.takeOpen(1));
            journal.flush();
            await().until(() -> journal.pending() == 0);
            step[0] = -60 * SECOND;
            journal.append(2 * SECOND, 50, Happening.takeClose(1));
        }
        List<Entry> entries = TestJournal.read(TestJournal.file(folder));
        assertThat(entries.get(1).at()).isLessThan(entries.get(0).at());
        assertThat(entries).extracting(Entry::tc).containsExactly("00:00:01:00", "00:00:02:00");
    }

    @Test
    void refusesAFormatThatIsNewerAndReadsOneWithoutANumber() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, RunStart.of("9.0.0", "pottery.yaml", 1, "25"));
        }
        Path file = TestJournal.file(folder);
        String line = Files.readString(file).strip();
        assertThat(line).contains("\"format\":1,");
        rewrite(file, line.replace("\"format\":1,", ""));
        assertThat(TestJournal.read(file)).hasSize(1);
        rewrite(file, line.replace("\"format\":1,", "\"format\":2,"));
        assertThatThrownBy(() -> TestJournal.read(file))
                .isInstanceOf(JournalException.class)
                .hasMessageContaining(file + ":1: ")
                .hasMessageContaining("format 2, which instep 9.0.0 wrote");
    }

    private static void rewrite(Path file, String line) throws IOException {
        String body = line.substring(0, line.length() - 18);
        String crc = Crc32cBitByBit.hex(body.getBytes(StandardCharsets.UTF_8));
        Files.writeString(file, body + ",\"crc\":\"" + crc + "\"}\n");
    }

    @Test
    void tellsSomebodyAgainWhoLooksOnWhenTheyHaveWaitedForLongEnough() throws IOException {
        AtomicInteger told = new AtomicInteger();
        Watch watch = new Watch() {
            @Override
            public void saw(long mono, long frame, Happening what) {
                told.set(-1_000_000); // There is no record.
            }

            @Override
            public void caughtUp() {
                told.incrementAndGet();
            }

            @Override
            public long patience() {
                return told.get() < 10 ? 1_000_000 : Long.MAX_VALUE;
            }
        };
        JournalSettings settings = TestJournal.settings(folder, Durability.OS, 1_000);
        try (Journal journal = Journal.open(settings, TestJournal.wall(), line -> {}, watch)) {
            await().until(() -> told.get() >= 10 && journal.threadState() == Thread.State.WAITING);
        }
    }
}
