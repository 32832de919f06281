package instep.packaging;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The pauses before the starts of a service that ends over and over, with a {@code sleep} that only writes down how long. */
class PaceTest {
    @TempDir
    private Path folder = Path.of("");

    private Path memory = Path.of("");
    private Path starts = Path.of("");

    @BeforeEach
    void fakeSleep() throws IOException {
        memory = Files.createDirectories(folder.resolve("run"));
        starts = memory.resolve("starts");
        Path sleep = Files.createDirectories(folder.resolve("bin")).resolve("sleep");
        Files.writeString(sleep, "#!/bin/sh\necho \"$@\" >> '" + folder.resolve("slept") + "'\n");
        Files.setPosixFilePermissions(sleep, PosixFilePermissions.fromString("rwxr-xr-x"));
        Files.writeString(folder.resolve("slept"), "");
    }

    /** What a start at an uptime says and sleeps, such as {@code "<4>... 2 s|2"}. */
    private String start(String uptime) throws Exception {
        Files.writeString(folder.resolve("uptime"), uptime);
        return run(memory.toString(), folder.resolve("uptime").toString());
    }

    private String run(String runtimeDirectory, String... arguments) throws Exception {
        ProcessBuilder sh = new ProcessBuilder("/bin/sh", "src/deb/pace").redirectErrorStream(true);
        sh.command().addAll(List.of(arguments));
        sh.environment().put("PATH", folder.resolve("bin").toString());
        sh.environment().put("RUNTIME_DIRECTORY", runtimeDirectory);
        return ended(sh);
    }

    private String ended(ProcessBuilder sh) throws Exception {
        Path slept = folder.resolve("slept");
        Files.writeString(slept, "");
        Process process = sh.start();
        String said = new String(process.getInputStream().readAllBytes(), UTF_8);
        assertThat(process.waitFor()).as(said).isZero();
        return said.strip() + "|" + Files.readString(slept).strip();
    }

    private static String paused(int ended, int seconds) {
        return "<4>ended " + ended + " times in a row: starts again in " + seconds + " s|" + seconds;
    }

    @Test
    void fiveStartsInARowAreAtOnceAndTheNextAtGrowingDistancesOfHalfAMinuteAtMost() throws Exception {
        int uptime = 1000;
        for (int start = 1; start <= 5; start++) {
            assertThat(start(uptime++ + ".97 1234.50\n")).isEqualTo("|");
        }
        int ended = 5;
        for (int pause : new int[] {1, 2, 4, 8, 16, 30, 30, 30}) {
            assertThat(start(uptime + ".03 1234.50\n")).isEqualTo(paused(ended++, pause));
            uptime += pause + 1;
        }
    }

    @ParameterizedTest
    @CsvSource({"59, 2", "60, 0", "100000, 0"})
    void oneThatRanForAMinuteIsWellAndItsCountBeginsAnew(int seconds, int pause) throws Exception {
        Files.writeString(starts, "6 1000\n");
        assertThat(start(1000 + seconds + ".00 1.00\n")).isEqualTo(pause == 0 ? "|" : paused(6, pause));
        assertThat(starts).hasContent(pause == 0 ? "1 " + (1000 + seconds) : "7 " + (1000 + seconds + pause));
    }

    @Test
    void doesNotTakeItsOwnPauseForATimeInWhichTheServiceRan() throws Exception {
        Files.writeString(starts, "20 1000\n");
        assertThat(start("1040.00 1.00\n")).isEqualTo(paused(20, 30));
        assertThat(start("1129.00 1.00\n")).isEqualTo(paused(21, 30));
    }

    @Test
    void theUptimeOfAnotherBootDoesNotCount() throws Exception {
        Files.writeString(starts, "20 1000\n");
        assertThat(start("999.99 1.00\n")).isEqualTo("|");
        assertThat(starts).hasContent("1 999");
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "",
                "\n",
                "20",
                "20 ",
                " 1000",
                "20 1000 3",
                "-20 1000",
                "20 -1000",
                "09 1000",
                "20 0999",
                "twenty 1000",
                "20 1e3",
                "$(sleep 9) 1000",
                "* *",
                "20 \u0000\u0007",
                "99999999999999999999999 1000",
                "20 99999999999999999999999",
                "4294967296 1000",
                "9223372036854775807 9223372036854775807"
            })
    void aDamagedFileCountsForNothingAndIsMended(String damaged) throws Exception {
        Files.writeString(starts, damaged);
        assertThat(start("1000.00 1.00\n")).isEqualTo("|");
        assertThat(starts).hasContent("1 1000");
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "\n", "1000 1", "-5.00 1.00", "up 3 days", "99999999999999999999.00 1.00"})
    void anUptimeThatSaysNothingPausesNothing(String uptime) throws Exception {
        Files.writeString(starts, "20 1000\n");
        assertThat(start(uptime)).isEqualTo("|");
        assertThat(starts).hasContent("20 1000");
    }

    @Test
    void withoutAFolderOrAFileOfItsOwnItPausesNothing() throws Exception {
        Path uptime = Files.writeString(folder.resolve("uptime"), "1000.00 1.00\n");
        assertThat(run(folder.resolve("nowhere").toString(), uptime.toString())).isEqualTo("|");
        assertThat(run("", uptime.toString())).isEqualTo("|");
        assertThat(run(memory.toString(), folder.resolve("none").toString())).isEqualTo("|");
        assertThat(starts).doesNotExist();
        ProcessBuilder unset = new ProcessBuilder("/bin/sh", "src/deb/pace").redirectErrorStream(true);
        unset.environment().remove("RUNTIME_DIRECTORY");
        assertThat(ended(unset)).isEqualTo("|");
        Files.createDirectory(starts);
        assertThat(start("1000.00 1.00\n")).isEqualTo("|");
    }

    /** A limit on the size of files stands for a full disk. */
    @Test
    void whatCannotBeWrittenDownIsNoReasonToWait() throws Exception {
        Files.writeString(starts, "20 1000\n");
        Files.writeString(folder.resolve("uptime"), "1000.00 1.00\n");
        ProcessBuilder sh = new ProcessBuilder(
                        "/bin/sh",
                        "-c",
                        "trap '' XFSZ; ulimit -f 0; exec /bin/sh src/deb/pace \"$0\"",
                        folder.resolve("uptime").toString())
                .redirectErrorStream(true);
        sh.environment().put("RUNTIME_DIRECTORY", memory.toString());
        assertThat(ended(sh)).isEqualTo("|");
        assertThat(starts).isEmptyFile();
    }

    @Test
    void withoutSleepItStartsAllTheSame() throws Exception {
        Files.delete(folder.resolve("bin/sleep"));
        Files.writeString(starts, "20 1000\n");
        assertThat(start("1001.00 1.00\n")).startsWith("<4>ended 20 times in a row");
    }

    @Test
    void theUptimeIsTheKernels() throws Exception {
        long before = kernel();
        assertThat(run(memory.toString())).isEqualTo("|");
        assertThat(Long.parseLong(Files.readString(starts).strip().replaceFirst("^1 ", "")))
                .isBetween(before, kernel());
    }

    private static long kernel() throws IOException {
        String uptime = Files.readString(Path.of("/proc/uptime"));
        return Long.parseLong(uptime.substring(0, uptime.indexOf('.')));
    }
}
