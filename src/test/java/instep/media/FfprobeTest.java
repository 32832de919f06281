package instep.media;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import instep.cutlist.Recording;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is told of files which FFmpeg (Debian's package) has made. */
class FfprobeTest {
    private static final Ffprobe PROBE = new Ffprobe(Programs.INSTALLED);

    @TempDir
    private Path folder = Path.of("");

    private Recording filmed(String name, String filter, String... arguments) throws Exception {
        List<String> all =
                new ArrayList<>(List.of("-f", "lavfi", "-i", filter, "-f", "lavfi", "-i", "sine=r=48000", "-t", "4"));
        all.addAll(List.of(arguments));
        all.add(name);
        Filmed.ffmpeg(folder, all.toArray(String[]::new));
        return PROBE.read(folder.resolve(name), name);
    }

    @Test
    void tellsTimecodeReelRateLengthSizeAndSound() throws Exception {
        Recording drop = filmed(
                "a.mov",
                "testsrc=s=64x48:r=30000/1001",
                "-c:v",
                "mjpeg",
                "-timecode",
                "10:00:00;02",
                "-metadata:s:v:0",
                "reel_name=WIDE",
                "-metadata",
                "creation_time=2026-03-02T12:00:00Z");
        assertThat(drop.start()).isEqualTo("10:00:00;02");
        assertThat(drop.reel()).isEqualTo("WIDE");
        assertThat(drop.rate()).isEqualTo(new Recording.Rate(30_000, 1_001, true));
        assertThat(drop.rate()).hasToString("29.97");
        assertThat(drop.frames()).isEqualTo(120);
        assertThat(drop.picture().width()).isEqualTo(64);
        assertThat(drop.picture().height()).isEqualTo(48);
        assertThat(drop.picture().codec()).isEqualTo("mjpeg");
        assertThat(drop.sounds()).isEqualTo(1);
        assertThat(drop.day()).isEqualTo("2026-03-02");
    }

    @Test
    void countsFramesWhereTheContainerDoesNot() throws Exception {
        Recording file =
                filmed("a.mkv", "testsrc=s=64x48:r=25", "-c:v", "mjpeg", "-metadata:s:v:0", "timecode=01:00:00:00");
        assertThat(file.frames()).isEqualTo(100);
        assertThat(file.start()).isEqualTo("01:00:00:00");
        // Times in it are whole milliseconds.
        assertThat(file.rate()).isEqualTo(new Recording.Rate(25, 1, true));
        assertThat(filmed("b.mkv", "testsrc=s=64x48:r=60000/1001", "-c:v", "mjpeg")
                        .rate()
                        .steady())
                .isTrue();
    }

    @Test
    void knowsHowLongAfterTheBeginningOfTheFileTheFirstPictureIsShown() throws Exception {
        Recording file = filmed("a.ts", "testsrc=s=64x48:r=25", "-c:v", "mpeg2video", "-c:a", "mp2");
        // FFmpeg's transport streams begin more than a second after zero; that is not waited for.
        assertThat(file.stamp()).isBetween(1_000_000L, 2_000_000L);
        assertThat(file.begins()).isBetween(0L, 39_999L);
        assertThat(file.frames()).isEqualTo(100);
    }

    @Test
    void seesThatFramesAreNotAlikeInLength() throws Exception {
        String dropping = "testsrc=s=64x48:r=30,select='not(eq(mod(n,7),3))'";
        assertThat(filmed("a.mp4", dropping, "-fps_mode", "vfr").rate().steady())
                .isFalse();
        String late = "testsrc=s=64x48:r=25,settb=1/1000,setpts='N*40+15*mod(N,2)'";
        assertThat(filmed("b.mp4", late, "-fps_mode", "vfr", "-enc_time_base", "1/1000")
                        .rate()
                        .steady())
                .isFalse();
    }

    @Test
    void tellsWhenTheFileWasWrittenLast() throws Exception {
        filmed("a.mov", "testsrc=s=64x48:r=25", "-c:v", "mjpeg");
        Path file = folder.resolve("a.mov");
        Files.setLastModifiedTime(file, FileTime.from(Instant.parse("2021-05-06T12:00:00Z")));
        assertThat(PROBE.read(file, "a.mov").written()).isEqualTo("2021-05-06");
        assertThat(PROBE.read(file, "a.mov").day()).isEmpty();
    }

    @Test
    void tellsSoundAlone() throws Exception {
        Filmed.ffmpeg(folder, "-f", "lavfi", "-i", "sine=r=48000", "-t", "1", "a.wav");
        Recording sound = PROBE.read(folder.resolve("a.wav"), "a.wav");
        assertThat(sound.frames()).isZero();
        assertThat(sound.sounds()).isEqualTo(1);
    }

    @Test
    void saysWhyAFileCannotBeRead() throws Exception {
        Path file = Files.writeString(folder.resolve("a.mov"), "no film");
        assertThatThrownBy(() -> PROBE.read(file, "a.mov"))
                .isInstanceOf(UnreadableException.class)
                .hasMessage("cannot be read: Invalid data found when processing input");
        Filmed.ffmpeg(folder, "-f", "lavfi", "-i", "testsrc=s=64x48", "-frames:v", "1", "a.png");
        assertThatThrownBy(() -> PROBE.read(folder.resolve("a.png"), "a.png"))
                .isInstanceOf(UnreadableException.class)
                .hasMessage("is no recording");
    }

    @Test
    void doesNotFollowAListOfFilesToTheNetwork() throws Exception {
        Path list = Files.writeString(folder.resolve("a.m3u8"), "#EXTM3U\n#EXTINF:1,\nhttp://127.0.0.1:9/a.ts\n");
        assertThatThrownBy(() -> PROBE.read(list, "a.m3u8")).isInstanceOf(UnreadableException.class);
    }

    @Test
    void doesNotWaitForeverForOneFile() throws Exception {
        Filmed.program(folder, "ffprobe", "exec sleep 600");
        Ffprobe stuck = new Ffprobe(Programs.in(folder), Duration.ofMillis(50));
        assertThatThrownBy(() -> stuck.read(folder.resolve("a.mov"), "a.mov"))
                .isInstanceOf(UnreadableException.class)
                .hasMessageStartingWith("could not be looked at within");
    }

    @Test
    void survivesAnAnswerThatIsNone() throws Exception {
        Filmed.program(
                folder, "ffprobe", "echo '{\"streams\": [{\"codec_type\": \"video\", \"r_frame_rate\": \"1/x\"}, 7]}'");
        Ffprobe odd = new Ffprobe(Programs.in(folder));
        Files.writeString(folder.resolve("a.mov"), "");
        assertThat(odd.read(folder.resolve("a.mov"), "a.mov").frames()).isZero();
        Filmed.program(folder, "ffprobe", "echo nonsense");
        assertThatThrownBy(() -> odd.read(folder.resolve("a.mov"), "a.mov")).isInstanceOf(UnreadableException.class);
    }

    @Test
    void namesThePackageOfAProgramThatIsMissing() {
        Ffprobe none = new Ffprobe(Programs.in(folder));
        assertThatThrownBy(() -> none.read(folder.resolve("a.mov"), "a.mov"))
                .isInstanceOf(MissingProgramException.class)
                .hasMessageContaining("sudo apt-get install ffmpeg");
    }

    @Test
    void looksThroughFoldersAndNamesWhatCannotBeRead() throws Exception {
        Path card = Files.createDirectories(folder.resolve("card/WIDE"));
        Files.createDirectories(folder.resolve("card/.trash"));
        Filmed.ffmpeg(card, "-f", "lavfi", "-i", "testsrc=s=64x48:r=25", "-t", "1", "-c:v", "mjpeg", "1.mov");
        Files.copy(card.resolve("1.mov"), folder.resolve("card/.trash/2.mov"));
        Files.writeString(card.resolve("2.MOV"), "torn");
        Files.writeString(card.resolve("notes.txt"), "clay");
        MediaFolders.Found found = MediaFolders.look(List.of(folder.resolve("card"), card), PROBE);
        assertThat(found.recordings()).extracting(Recording::name).containsExactly("card/WIDE/1.mov");
        assertThat(found.unreadable())
                .containsExactly("card/WIDE/2.MOV cannot be read: Invalid data found when processing input");
        assertThat(found.others()).isEqualTo(1);
    }
}
