package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import instep.media.CodedFilm;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The lines of docs/after-the-take.md under "The whole way", run by a shell as they stand there; and each frame of the film that they make is the one that the cut list says. */
class WholeWayTest {
    private static final Pattern LINES = Pattern.compile("^```sh\n(.*?)^```", Pattern.DOTALL | Pattern.MULTILINE);
    private static final List<String> ANGLES = List.of("wide", "wheel", "hands", "glaze");

    @TempDir
    private Path folder = Path.of("");

    @Tag("lab")
    @Test
    void leadsFromThePerformanceToAFilmThatIsRightFrameByFrame() throws Exception {
        Matcher block = LINES.matcher(Files.readString(Path.of("docs/after-the-take.md")));
        assertThat(block.find()).isTrue();
        Files.writeString(folder.resolve("lines.sh"), block.group(1));
        ProcessBuilder shell = InstepInAShell.in(folder, "sh", "-eu", "lines.sh");
        int code = shell.start().waitFor();
        String said = Files.readString(folder.resolve("said.txt"));
        assertThat(code).as(said).isZero();
        assertThat(said).contains("all there").contains("Written: rough.mp4").doesNotContain("MISSING");
        assertThat(CodedFilm.read(folder.resolve("rough.mp4")))
                .isEqualTo(expected())
                .hasSizeGreaterThan(1_000);
    }

    /** The pictures are numbered from the first frame of the take. */
    private List<String> expected() throws Exception {
        long first = in(rows("take.csv").get(0));
        List<String> frames = new ArrayList<>();
        for (String[] shot : rows("lesson.csv")) {
            for (long frame = 0; frame < Long.parseLong(shot[8]); frame++) {
                frames.add(ANGLES.indexOf(shot[2]) + " " + (in(shot) + frame - first));
            }
        }
        return frames;
    }

    private List<String[]> rows(String table) throws Exception {
        return Files.readAllLines(folder.resolve(table)).stream()
                .skip(1)
                .map(line -> line.split(",", -1))
                .toList();
    }

    private static long in(String[] shot) {
        return Timecode.parse(shot[4], FrameRate.R25).frame();
    }
}
