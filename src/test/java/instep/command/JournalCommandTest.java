package instep.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.Main;
import instep.daemon.WrittenJournal;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The commands that look at a journal, check it and mend it, as they are typed. */
class JournalCommandTest {
    private static final String DAY = "2026-03-02";

    @TempDir
    private Path folder;

    /** Two takes: at 10:00:00 and at 10:01:20. */
    private static WrittenJournal lesson() {
        return new WrittenJournal(DAY)
                .start("")
                .open(0, 1)
                .cut(0, "wide")
                .cut(50, "wheel")
                .mark(60, "retake")
                .close(100, 1)
                .open(2_000, 2)
                .cut(2_000, "wide")
                .mark(2_100, "chapter")
                .close(2_500, 2);
    }

    /** The time, the take and what happened; the rest is the event log's. */
    private List<String> shown(String... options) {
        String[] before = {"journal", "show", folder.toString()};
        String[] all = Arrays.copyOf(before, before.length + options.length);
        System.arraycopy(options, 0, all, before.length, options.length);
        Said said = Said.by(all);
        assertThat(said.err()).isEmpty();
        assertThat(said.code()).isZero();
        return said.out()
                .lines()
                .map(line -> line.replaceAll(" +", " ").strip())
                .toList();
    }

    @Test
    void showsOfATakeWhatHappenedInIt() throws IOException {
        lesson().into(folder);
        assertThat(shown("--take", "2"))
                .containsExactly(
                        "10:01:20:00 take 2 TAKE begins",
                        "10:01:20:00 take 2 CUT wide",
                        "10:01:24:00 take 2 MARK chapter",
                        "10:01:40:00 take 2 TAKE ends after 00:20.000");
    }

    @Test
    void showsOnlyTheKindsThatAreAskedFor() throws IOException {
        lesson().into(folder);
        assertThat(shown("--kind", "mark"))
                .containsExactly("10:00:02:10 take 1 MARK retake", "10:01:24:00 take 2 MARK chapter");
        assertThat(shown("--kind", "mark,cut", "--take", "1"))
                .containsExactly(
                        "10:00:00:00 take 1 CUT wide",
                        "10:00:02:00 take 1 CUT wheel",
                        "10:00:02:10 take 1 MARK retake");
    }

    @Test
    void saysThatThereIsNoSuchTake() throws IOException {
        lesson().into(folder);
        Said said = Said.by("journal", "show", folder.toString(), "--take", "99");
        assertThat(said.code()).isEqualTo(2);
        assertThat(said.out()).isEmpty();
        assertThat(said.err()).contains("there is no such take");
        assertThat(Said.by("journal", "show", folder.toString(), "--take", "2", "--kind", "sent")
                        .code())
                .isZero();
    }

    @Test
    void failsToListTakesWhereTheJournalIsDamaged() throws IOException {
        lesson().raw("{\"seq\":1,\"no\":\"record\"}\n").into(folder);
        Said said = Said.by("journal", "takes", folder.toString());
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.out()).contains(DAY);
    }

    /** The lesson would be one more take of somebody's journal. */
    @Test
    void noDemoIsPlayedIntoAJournal() throws IOException {
        lesson().into(folder);
        Said said = Said.by("demo", "--speed", "100", "--journal", folder.toString());
        assertThat(said.code()).isEqualTo(2);
        assertThat(said.err()).contains("name an empty folder");
    }

    @Test
    void showsOnlyTheTimeThatIsAskedFor() throws IOException {
        lesson().into(folder);
        assertThat(shown("--from", "10:01:21"))
                .containsExactly("10:01:24:00 take 2 MARK chapter", "10:01:40:00 take 2 TAKE ends after 00:20.000");
        assertThat(shown("--from", "10:00:02", "--to", DAY + "T10:00"))
                .containsExactly(
                        "10:00:02:00 take 1 CUT wheel",
                        "10:00:02:10 take 1 MARK retake",
                        "10:00:04:00 take 1 TAKE ends after 00:04.000");
        assertThat(shown("--from", "11:00")).isEmpty();
    }

    @Test
    void saysWhichKindsAndTimesThereAre() throws IOException {
        lesson().into(folder);
        Said kind = Said.by("journal", "show", folder.toString(), "--kind", "cuts");
        assertThat(kind.code()).isEqualTo(2);
        assertThat(kind.err()).contains("there are no records of the kind \"cuts\"; there are start, config, edge");
        Said time = Said.by("journal", "show", folder.toString(), "--from", "noon");
        assertThat(time.code()).isEqualTo(2);
        assertThat(time.err()).contains("--from noon: expected a time such as 14:30");
    }

    /** While it is written, and over midnight into the next file. */
    @Test
    void followsWhatIsWritten() throws Exception {
        lesson().into(folder);
        Path out = folder.resolve("shown");
        Process show = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-cp",
                        System.getProperty("java.class.path"),
                        Main.class.getName(),
                        "journal",
                        "show",
                        "-f",
                        "--kind",
                        "mark",
                        folder.toString())
                .redirectOutput(out.toFile())
                .redirectErrorStream(true)
                .start();
        try {
            await().until(() -> Files.readString(out).contains("chapter"));
            lesson().mark(2_600, "intro").into(folder);
            await().until(() -> Files.readString(out).contains("intro"));
            new WrittenJournal("2026-03-03")
                    .start("")
                    .open(0, 1)
                    .mark(5, "tomorrow")
                    .into(folder);
            await().until(() -> Files.readString(out).contains("tomorrow"));
        } finally {
            show.destroy();
        }
        assertThat(Files.readAllLines(out))
                .extracting(line -> line.replaceAll(".* ", ""))
                .containsExactly("retake", "chapter", "intro", "tomorrow");
    }

    /** A power cut on some file systems leaves a block of zeros where data had not been written back: here over the end of one line and the beginning of the next. */
    @Test
    void verifyNamesZerosInTheMiddleAndRepairLeavesThem() throws IOException {
        Path file = lesson().into(folder);
        assertThat(Said.by("journal", "verify", folder.toString()).out())
                .isEqualTo("11 records, 1 run, 2 takes: sound\n");
        byte[] bytes = Files.readAllBytes(file);
        int end = new String(bytes, StandardCharsets.UTF_8).indexOf("retake");
        Arrays.fill(bytes, end, end + 150, (byte) 0);
        Files.write(file, bytes);

        Said damaged = Said.by("journal", "verify", folder.toString());
        assertThat(damaged.code()).isEqualTo(1);
        assertThat(damaged.out()).contains(file + ":6: damaged line", "1 fault");

        Path mended = folder.resolve("mended");
        Said repaired = Said.by("journal", "repair", folder.toString(), "-o", mended.toString());
        assertThat(repaired.code()).isZero();
        assertThat(repaired.out())
                .contains(file + ":6: damaged line")
                .contains(": left")
                .contains("9 records kept, 1 place left out. The mended journal is in " + mended);
        assertThat(Files.readAllBytes(file))
                .as("the damaged one is not touched")
                .isEqualTo(bytes);
        Said sound = Said.by("journal", "verify", mended.toString());
        assertThat(sound.out()).contains("sound");
        assertThat(sound.code()).isZero();
        assertThat(Said.by("journal", "show", mended.toString(), "--kind", "fault")
                        .out())
                .contains("2 records are missing here: damaged lines were left out by a");

        Said again = Said.by("journal", "repair", folder.toString(), "-o", mended.toString());
        assertThat(again.code()).isNotZero();
        assertThat(again.err()).contains("is there already, and no journal is written over. Name another folder.");
    }

    @Test
    void verifyMissesWhatStoodBeforeTheFirstRecord() throws IOException {
        Path file = lesson().into(folder);
        List<String> lines = Files.readAllLines(file);
        Files.write(file, lines.subList(6, lines.size()));
        Said said = Said.by("journal", "verify", folder.toString());
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.out())
                .contains("the journal begins with record 7 of a run")
                .doesNotContain("sound");
        assertThat(Said.by("journal", "verify", file.toString()).out())
                .contains("sound; it goes on with a run of an earlier file");
    }

    /** The clock was set between the takes, and the second lost its timecode for a while; a run that was pulled is followed by another. */
    @Test
    void takesTellHowWellTheirTimecodeIsKnown() throws IOException {
        new WrittenJournal(DAY)
                .start("")
                .framed(0, "sync", "\"source\":\"time-of-day\",\"clock\":\"unsynchronized\"")
                .open(0, 1)
                .cut(0, "wide")
                .close(100, 1)
                .sync(200, 3_000)
                .framed(200, "sync", "\"source\":\"ltc\",\"state\":\"locked\",\"began\":8000000000")
                .open(200, 2)
                .cut(200, "wide")
                .framed(300, "sync", "\"source\":\"ltc\",\"state\":\"freewheeling\",\"began\":12000000000")
                .framed(400, "sync", "\"source\":\"ltc\",\"state\":\"locked\",\"began\":16000000000")
                .close(500, 2)
                .start("")
                .framed(0, "sync", "\"source\":\"time-of-day\",\"clock\":\"synchronized\",\"uncertainty_us\":1200")
                .open(0, 3)
                .cut(0, "wide")
                .into(folder);
        List<String> rows = Said.by("journal", "takes", folder.toString()).shots();
        assertThat(rows).hasSize(3);
        assertThat(rows.get(0)).contains("time-of-day, no NTP");
        assertThat(rows.get(1)).contains("ltc, freewheeling, locked");
        assertThat(rows.get(2)).contains("time-of-day").contains("never closed").doesNotContain("NTP");
    }
}
