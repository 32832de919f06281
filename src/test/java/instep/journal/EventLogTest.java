package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.slf4j.LoggerFactory;

class EventLogTest {
    private static final String WARNING = "WARN some.library: look at this: java.io.IOException: it is gone\n";

    @TempDir
    private Path folder;

    /** A program that logs, as the daemon and the libraries in it do. */
    static final class Talker {
        private Talker() {}

        public static void main(String[] args) throws IOException {
            LoggerFactory.getLogger("some.library").info("not to be seen");
            try (EventLog log = EventLog.open(Path.of(args[0]), Boolean.parseBoolean(args[1]))) {
                log.accept("10:00:00:00  -           START   äöü");
                LoggerFactory.getLogger("some.library").warn("look at {}", "this", new IOException("it is gone"));
            }
        }
    }

    @Test
    void writesPlainLinesIntoItsFile() throws IOException {
        try (EventLog log = EventLog.open(folder, false)) {
            log.accept("10:00:00:00  -           START   äöü");
            log.accept("10:00:00:01  -           CUT     {} wide");
            assertThat(folder.resolve("events.log"))
                    .hasContent("10:00:00:00  -           START   äöü\n10:00:00:01  -           CUT     {} wide\n");
        }
    }

    /** sd-daemon(3): SD_WARNING is "<4>", SD_INFO "<6>". The file has none of that. */
    @Test
    void givesEachLinePriorityWhereAServiceWritesToSystemd() throws IOException {
        PrintStream before = System.out;
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        System.setOut(new PrintStream(out, true, StandardCharsets.UTF_8));
        try (EventLog log = EventLog.open(folder, true, true)) {
            log.accept("10:00:00:01  -           CUT     100 % <b> wide");
            log.accept("10:00:00:02  take 1   !! FAULT   it does not roll");
        } finally {
            System.setOut(before);
        }
        assertThat(out.toString(StandardCharsets.UTF_8)).isEqualTo("""
                        <6>10:00:00:01  -           CUT     100 % <b> wide
                        <4>10:00:00:02  take 1   !! FAULT   it does not roll
                        """);
        assertThat(folder.resolve("events.log")).hasContent("""
                        10:00:00:01  -           CUT     100 % <b> wide
                        10:00:00:02  take 1   !! FAULT   it does not roll
                        """);
    }

    /** systemd.exec(5): JOURNAL_STREAM is the device and the inode, in decimal, of what is connected; a pipe behind it has others. Debian's stat tells both. */
    @Test
    void knowsWhetherItsOutputIsThatOfTheService() throws IOException {
        Path output = Files.createFile(folder.resolve("output"));
        Process stat = new ProcessBuilder("stat", "-c", "%d:%i", output.toString()).start();
        String stream = new String(stat.getInputStream().readAllBytes(), StandardCharsets.UTF_8).strip();
        assertThat(ServiceOutput.isJournal(stream, output)).isTrue();
        assertThat(ServiceOutput.isJournal(stream + "1", output)).isFalse();
        assertThat(ServiceOutput.isJournal(null, output)).isFalse();
        assertThat(ServiceOutput.isJournal(stream, folder.resolve("nothing"))).isFalse();
    }

    @Test
    void goesOnInTheSameFile() throws IOException {
        for (int run = 0; run < 2; run++) {
            try (EventLog log = EventLog.open(folder, false)) {
                log.accept("run " + run);
            }
        }
        assertThat(folder.resolve("events.log")).hasContent("run 0\nrun 1\n");
    }

    @Test
    void theProcessSaysNothingOfItsOwn() throws IOException, InterruptedException {
        assertThat(run(true)).isEqualTo("10:00:00:00  -           START   äöü\n");
        assertThat(err()).isEqualTo(WARNING);
        assertThat(run(false)).isEmpty();
        assertThat(err()).isEqualTo(WARNING);
    }

    @Test
    void saysWhichFolderItCannotWriteTo() throws IOException {
        Files.createDirectories(folder.resolve("events.log"));
        assertThatThrownBy(() -> EventLog.open(folder, false))
                .isInstanceOf(JournalException.class)
                .hasMessageStartingWith("cannot keep a journal in " + folder + ": ")
                .hasMessageContaining("name another folder");
    }

    private String run(boolean toStandardOutput) throws IOException, InterruptedException {
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-cp",
                        System.getProperty("java.class.path"),
                        Talker.class.getName(),
                        folder.toString(),
                        Boolean.toString(toStandardOutput))
                .redirectError(folder.resolve("stderr").toFile())
                .start();
        String out = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertThat(process.waitFor()).isZero();
        return out;
    }

    private String err() throws IOException {
        return Files.readString(folder.resolve("stderr"));
    }
}
