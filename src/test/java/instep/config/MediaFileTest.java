package instep.config;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.catchThrowableOfType;

import instep.cutlist.MediaList;
import instep.cutlist.MediaList.Files;
import instep.cutlist.MediaList.Held;
import instep.cutlist.MediaList.InTake;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The list of media is read as it was written, and a mistake of the hand that corrected it is named at its place. */
class MediaFileTest {
    private static final String GOOD = """
            media: 1
            takes:
              - take: 3
                day: 2026-03-02
                rate: 25
                from: "10:00:00:00"
                angles:
                  wide:
                    original:
                      - { file: a.mov, start: "10:00:00:00", frames: 250 }
            """;

    @TempDir
    private Path folder = Path.of("");

    private MediaList read(String text) throws IOException, ConfigException {
        return MediaFile.read(java.nio.file.Files.writeString(folder.resolve("media.yaml"), text));
    }

    private static Files wide(MediaList list) {
        return Objects.requireNonNull(list.takes().get(0).angles().get("wide"));
    }

    private static Timecode label(String text, FrameRate rate) {
        return Timecode.parse(text, rate);
    }

    @Test
    void readsWhatWasWrittenWhateverTheNamesAre() throws Exception {
        FrameRate drop = FrameRate.R29_97_DROP;
        Map<String, Files> angles = new LinkedHashMap<>();
        String odd = folder.resolve("the \"clay\"\n\\ card: é \u2028#1.mov").toString();
        angles.put(
                "wide",
                new Files(
                        List.of(),
                        List.of(
                                new Held(odd, label("10:00:00;02", drop), label("10:00:00;02", drop), 3000),
                                new Held("/card/2.mov", label("10:01:40;00", drop), label("10:01:40;05", drop), 1))));
        angles.put(
                "on",
                new Files(
                        List.of(new Held("/p.mp4", label("00:00:00;00", drop), label("00:00:00;00", drop), 9)),
                        List.of()));
        MediaList list = new MediaList(List.of(
                new InTake(1, "2026-03-02", drop, label("10:00:00;10", drop), angles),
                new InTake(2, "2026-03-02", FrameRate.R25, label("11:00:00:00", FrameRate.R25), Map.of())));
        String text = MediaText.of(list, folder, List.of("a\nb has no timecode"));
        assertThat(read(text)).isEqualTo(list);
        assertThat(text).contains("# not used: a?b has no timecode").contains("at: \"10:01:40;05\"");
    }

    @Test
    void writesPathsAsTheyAreSeenFromItsFolder() throws Exception {
        MediaList list = read(GOOD);
        assertThat(wide(list).originals().get(0).file())
                .isEqualTo(folder.resolve("a.mov").toString());
        assertThat(MediaText.of(list, folder, List.of())).contains("file: \"a.mov\"");
        assertThat(MediaText.of(list, folder.resolve("other"), List.of()))
                .contains("file: \"" + folder.resolve("a.mov") + "\"");
    }

    @Test
    void writesAListOfNothing() throws Exception {
        MediaList none = new MediaList(List.of());
        assertThat(read(MediaText.of(none, folder, List.of()))).isEqualTo(none);
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
                    media: 1             | media: 2                | 1:8: expected 1, the version of the form
                    takes:               | tales:                  | 2:1: unknown key "tales"
                    take: 3              | take: three             | 3:11: expected a whole number from 0 to 999999999, found "three"
                    day: 2026-03-02      | day: monday             | 4:10: expected a day such as 2026-03-02
                    rate: 25             | rate: 26                | 5:11: expected 23.976
                    from: "10:00:00:00"  | from: "10:00:00:25"     | 6:11: expected a label below 24:00:00:00 with frames below 25
                    wide:                | "no no":                | 8:7: "no no" cannot be the name of an angle
                    original:            | origin:                 | 9:9: unknown key "origin"
                    file: a.mov,         | ''                      | 10:13: the file has no file; expected its path
                    frames: 250          | frames: 0               | 10:58: expected a whole number from 1
                    start: "10:00:00:00" | start: "10:00:00;00"    | 10:35: expected a colon before the frames
                    frames: 250          | frames: 250, at: later  | 10:67: expected a label such as
                    """)
    void namesAMistakeAtItsPlace(String right, String wrong, String fault) {
        ConfigException e =
                catchThrowableOfType(ConfigException.class, () -> read(GOOD.replaceFirst(Pattern.quote(right), wrong)));
        assertThat(e.faults()).hasSize(1);
        assertThat(e.faults().get(0).toString()).startsWith(folder.resolve("media.yaml") + ":" + fault);
    }

    @Test
    void readsTheExampleOfThePage() throws Exception {
        String page = java.nio.file.Files.readString(Path.of("docs/after-the-take.md"));
        Matcher block =
                Pattern.compile("```yaml\n(media: 1\n.*?)```", Pattern.DOTALL).matcher(page);
        assertThat(block.find()).isTrue();
        Files wide = wide(read(block.group(1)));
        assertThat(wide.originals()).hasSize(2);
        assertThat(wide.originals().get(1).at()).hasToString("10:00:31:24");
    }

    @Test
    void saysThatThereIsNoFile() {
        assertThatThrownBy(() -> MediaFile.read(folder.resolve("none.yaml")))
                .isInstanceOf(ConfigException.class)
                .hasMessageContaining("there is no such file");
    }
}
