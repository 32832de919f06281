package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import instep.reference.Installed;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.slf4j.LoggerFactory;

class EventLogTest {
    private static final String WARNING = "WARN some.library: look at this: java.io.IOException: it is gone\n";

    private static final String START = "10:00:00:00  -           START   äöü\n";
    private static final String FAULT = "10:00:00:01  -        !! FAULT   it does not roll\n";

    /** Debian's systemd-journald, in whose folder there is nothing else; then what it has of the program that is named, and what of that is a warning. */
    private static final String JOURNALD = """
            mount -t tmpfs tmpfs /run || exit 1
            mkdir -p /run/systemd/journald.conf.d
            printf '[Journal]\\nReadKMsg=no\\nAudit=\\n' > /run/systemd/journald.conf.d/alone.conf
            /lib/systemd/systemd-journald &
            for wait in $(seq 300); do [ -S /run/systemd/journal/stdout ] && break; sleep 0.1; done
            systemd-cat -t talker sh -c 'exec env JOURNAL_STREAM="$(stat -Lc %d:%i /proc/$$/fd/1)" "$@" 2> /dev/null' sh "$@"
            journalctl -q --sync
            journalctl -q -D /run/log/journal -o cat -t talker
            echo
            journalctl -q -D /run/log/journal -o cat -t talker -p warning
            kill $!
            """;

    @TempDir
    private Path folder;

    /** A program that logs, as the daemon and the libraries in it do. */
    static final class Talker {
        private Talker() {}

        public static void main(String[] args) throws IOException {
            LoggerFactory.getLogger("some.library").info("not to be seen");
            try (EventLog log = EventLog.open(Path.of(args[0]), Boolean.parseBoolean(args[1]))) {
                log.accept("10:00:00:00  -           START   äöü");
                log.accept("10:00:00:01  -        !! FAULT   it does not roll");
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

    /** sd-daemon(3): 3 is LOG_ERR. */
    @Test
    void marksEachLineOnStandardErrorAsAnErrorForTheJournalOfTheSystem() {
        ByteArrayOutputStream written = new ByteArrayOutputStream();
        PrintStream errors = ServiceOutput.errors(written);
        errors.println("instep.yaml:3:1: no such gear: mixär");
        errors.print("1 fault; ");
        errors.println("nothing was started.");
        assertThat(written.toString(StandardCharsets.UTF_8))
                .isEqualTo("<3>instep.yaml:3:1: no such gear: mixär\n<3>1 fault; nothing was started.\n");
    }

    /** In a mount namespace of its own, which only root can make, as in a container. */
    @Test
    @Tag("lab")
    void systemdFindsWhatNeedsAttentionByItsPriority() throws IOException, InterruptedException {
        Installed.program("systemd-cat", "systemd");
        Installed.mounted(
                run("unshare", "-m", "mount", "-t", "tmpfs", "tmpfs", "/run").isEmpty());
        List<String> command = new ArrayList<>(List.of("unshare", "-m", "sh", "-c", JOURNALD, "sh"));
        command.addAll(talker(true));
        assertThat(run(command.toArray(String[]::new))).isEqualTo(START + FAULT + "\n" + FAULT);
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
        assertThat(run(true)).isEqualTo(START + FAULT);
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
        return run(talker(toStandardOutput).toArray(String[]::new));
    }

    private List<String> talker(boolean toStandardOutput) {
        return List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-cp",
                System.getProperty("java.class.path"),
                Talker.class.getName(),
                folder.toString(),
                Boolean.toString(toStandardOutput));
    }

    private String run(String... command) throws IOException, InterruptedException {
        Process process = new ProcessBuilder(command)
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
