package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class LogFollowerTest {
    @TempDir
    private Path folder;

    private Path log = Path.of("unset");
    private final List<String> seen = new CopyOnWriteArrayList<>();

    @BeforeEach
    void name() {
        log = folder.resolve("events.log");
    }

    @ParameterizedTest
    @CsvSource({"0, ''", "1, c", "2, 'b,c'", "3, 'a,b,c'", "9, 'a,b,c'"})
    void beginsWithTheLastLines(int lines, String expected) throws IOException {
        write("a\nb\nc\n");
        try (LogFollower follower = open(lines)) {
            follower.look();
            assertThat(String.join(",", seen)).isEqualTo(expected);
        }
    }

    @Test
    void findsTheLastLinesOfALongFile() throws IOException {
        write("x".repeat(50_000) + "\n" + "y".repeat(50_000) + "\nz\n");
        try (LogFollower follower = open(2)) {
            follower.look();
            assertThat(seen).extracting(String::length).containsExactly(50_000, 1);
        }
    }

    @Test
    void showsALineWhenItIsWhole() throws IOException {
        write("a\n");
        try (LogFollower follower = open(10)) {
            write("b ä".substring(0, 2));
            follower.look();
            assertThat(seen).containsExactly("a");
            byte[] umlaut = "ä".getBytes(StandardCharsets.UTF_8);
            Files.write(log, new byte[] {umlaut[0]}, StandardOpenOption.APPEND);
            follower.look();
            Files.write(log, new byte[] {umlaut[1], '\n'}, StandardOpenOption.APPEND);
            follower.look();
            follower.look();
            assertThat(seen).containsExactly("a", "b ä");
        }
    }

    @Test
    void goesOnInTheNewFileAndMissesNothingOfTheOldOne() throws IOException {
        write("a\n");
        try (LogFollower follower = open(10)) {
            follower.look();
            write("b\n");
            Files.move(log, folder.resolve("events-2026-03-02.0.log"));
            follower.look();
            Files.writeString(folder.resolve("events-2026-03-02.0.log"), "c\n", StandardOpenOption.APPEND);
            write("d\n");
            follower.look();
            write("e\n");
            follower.look();
            assertThat(seen).containsExactly("a", "b", "c", "d", "e");
        }
    }

    @Test
    void beginsAgainWhenTheFileIsCutShort() throws IOException {
        write("a long first line\nanother\n");
        try (LogFollower follower = open(10)) {
            follower.look();
            Files.writeString(log, "new\n", StandardOpenOption.TRUNCATE_EXISTING);
            follower.look();
            assertThat(seen).containsExactly("a long first line", "another", "new");
        }
    }

    @Test
    void waitsForALogThatIsNotThereYet() throws IOException {
        try (LogFollower follower = open(10)) {
            follower.look();
            write("a\n");
            follower.look();
            assertThat(seen).containsExactly("a");
        }
    }

    @Test
    void followsUntilItIsInterrupted() throws IOException, InterruptedException {
        write("a\n");
        try (LogFollower follower = open(10)) {
            Thread thread = new Thread(() -> {
                try {
                    follower.follow();
                } catch (IOException e) {
                    seen.add(e.toString());
                }
            });
            thread.start();
            await().until(() -> seen.contains("a"));
            write("b\n");
            await().until(() -> seen.contains("b"));
            thread.interrupt();
            thread.join();
            assertThat(seen).containsExactly("a", "b");
        }
    }

    /** SGR codes of ECMA-48; without them the line is what it was. */
    @ParameterizedTest
    @CsvSource({
        "'10:00:12:07  take 1      CUT     wide -> wheel', 1",
        "'10:00:12:07  take 1   !! MISSED  mixer  CUT 2: the link was down', 1;31",
        "'10:00:12:07  take 1   !! LINK    mixer  lost', 1;31",
        "'10:00:12:07  take 1      TAKE    begins', 1;32"
    })
    void paintsALineByItsWord(String line, String code) {
        assertThat(LineColours.paint(line)).isEqualTo("\u001b[" + code + "m" + line + "\u001b[0m");
    }

    @ParameterizedTest
    @CsvSource({
        "'10:00:12:07  -           STATE   standby -> rolling'",
        "''",
        "'CUT'",
        "'some other text !! that is long enough'"
    })
    void leavesOtherLinesPlain(String line) {
        assertThat(LineColours.paint(line)).isEqualTo(line);
    }

    private LogFollower open(int lines) throws IOException {
        return LogFollower.open(log, lines, seen::add);
    }

    private void write(String text) throws IOException {
        Files.writeString(log, text, StandardOpenOption.CREATE, StandardOpenOption.APPEND);
    }
}
