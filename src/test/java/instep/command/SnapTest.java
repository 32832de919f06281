package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import instep.daemon.WrittenJournal;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The ends of what is left out get into pauses of sound that FFmpeg has made. The take begins at 10:00:00:00 and is 24 s long, with a mark {@code retake} at 15 s. */
class SnapTest {
    private static final String CONFIG = """
            instep: 1
            timecode: { rate: 25 }
            angles: { wide: { reel: WIDE }, wheel: { reel: WHEEL } }
            machine: { states: { standby: } }
            cutlist: { retake: drop }
            """;
    /** Somebody who speaks all the time but from 7.6 s to 7.8 s and from 15.4 s to 15.8 s. */
    private static final String SPEECH =
            "aevalsrc=exprs='0.1*sin(2*PI*300*t)*(1-between(t,7.6,7.8))*(1-between(t,15.4,15.8))':s=48000:d=24";

    @TempDir
    private Path folder = Path.of("");

    @BeforeEach
    void records() throws IOException {
        new WrittenJournal("2026-03-02")
                .start(CONFIG)
                .open(0, 1)
                .cut(0, "wide")
                .cut(200, "wheel")
                .mark(375, "retake")
                .close(600, 1)
                .stop(700)
                .into(folder);
    }

    private Said cutlist(String... options) {
        List<String> args = new ArrayList<>(List.of("cutlist", folder.toString()));
        args.addAll(List.of(options));
        return Said.by(args.toArray(String[]::new));
    }

    private String sound(String name, String... more) throws IOException, InterruptedException {
        Path file = folder.resolve(name);
        List<String> command =
                new ArrayList<>(List.of("ffmpeg", "-v", "error", "-nostdin", "-f", "lavfi", "-i", SPEECH));
        command.addAll(List.of(more));
        command.add(file.toString());
        Path said = folder.resolve("ffmpeg.txt");
        Process ffmpeg = new ProcessBuilder(command)
                .redirectErrorStream(true)
                .redirectOutput(said.toFile())
                .start();
        assertThat(ffmpeg.waitFor(1, TimeUnit.MINUTES)).isTrue();
        assertThat(ffmpeg.exitValue()).as(Files.readString(said)).isZero();
        return file.toString();
    }

    @Test
    void movesBothEndsOfAPassageToTheNearestPauseAndSaysByHowMuch() throws Exception {
        Said said =
                cutlist("--snap", sound("speech.wav", "-write_bext", "1", "-metadata", "time_reference=1728000000"));
        assertThat(said.err()).isEmpty();
        assertThat(said.code()).isZero();
        // Decided: from the cut at 8 s to the mark at 15 s. The pauses are the frames 190 to 195 and 385 to 395; two
        // frames of each are left.
        assertThat(said.out())
                .containsPattern("retake +1 cut taken away, 1 passage left out, 00:07.760")
                .containsPattern("snap +2 ends moved, 1 passage")
                .containsPattern(
                        "left out +10:00:07:18 to 10:00:15:12, 00:07.760  retake, moved to pauses by -7 and [+]12 frames");
    }

    @Test
    void leavesEndsWhereNoPauseIsNearEnough() throws Exception {
        String speech = sound("speech.wav", "-write_bext", "1", "-metadata", "time_reference=1728000000");
        Said said = cutlist("--snap", speech, "--snap-within", "10f");
        assertThat(said.out()).containsPattern("moved to pauses by -7 and [+]0 frames");
        assertThat(cutlist("--snap", speech, "--snap-within", "2f").out())
                .containsPattern("snap +0 ends moved")
                .containsPattern("left out +10:00:08:00 to 10:00:15:00, 00:07.000  retake\n");
    }

    @Test
    void goesByTheTimecodeOfTheSound() throws Exception {
        // A second later: the pauses are at 8.6 s and at 16.4 s.
        String late = sound(
                "late.mov",
                "-f",
                "lavfi",
                "-i",
                "testsrc=s=64x48:r=25:d=24",
                "-c:v",
                "mpeg4",
                "-timecode",
                "10:00:01:00");
        assertThat(cutlist("--snap", late).out())
                .containsPattern("left out +10:00:08:17 to 10:00:15:00, .*moved to pauses by [+]17 and [+]0");
    }

    @Test
    void saysThatSoundWithoutTimecodeIsTakenToBeginWithTheTake() throws Exception {
        Said said = cutlist("--snap", sound("plain.wav"));
        assertThat(said.code()).isZero();
        assertThat(said.err()).contains("plain.wav says nothing about its timecode");
        assertThat(said.out()).contains("snap          2 ends moved");
    }

    @Test
    void cutsAsDecidedWhereTheSoundIsMissing() {
        Said said = cutlist("--snap", folder.resolve("none.wav").toString());
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err())
                .contains("no pauses were looked for in take 1", "none.wav")
                .doesNotContain("\tat ");
        assertThat(said.out()).containsPattern("left out +10:00:08:00 to 10:00:15:00");
    }

    @Test
    void saysThatThereIsNoPause() throws Exception {
        Said said = cutlist("--snap", sound("elsewhere.wav", "-write_bext", "1", "-metadata", "time_reference=48000"));
        assertThat(said.err()).contains("elsewhere.wav has no pause in take 1");
    }
}
