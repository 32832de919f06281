package instep.edit;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import instep.cutlist.Footage;
import instep.cutlist.Layout;
import instep.cutlist.Media;
import instep.cutlist.Piece;
import instep.cutlist.Refined;
import instep.cutlist.Refinements;
import instep.cutlist.Sound;
import instep.cutlist.Take;
import instep.cutlist.Timeline;
import instep.time.FrameRate;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Where it is known which file shows what from where, each format says so. */
class RealFilesTest {
    private static final FrameRate RATE = FrameRate.R25;
    /** Two seconds of each of two angles, from 10:00:00:00. */
    private static final Take TAKE = Timelines.take(List.of("wide", "wheel"), List.of(), 900_000, 900_050, 900_100);

    /** The wide angle's recorder has begun a second early, splits after 40 frames of the take, and is 3 frames ahead; its proxies are not. */
    private static Footage footage(String angle) {
        return angle.equals("wide")
                ? new Footage(
                        "wide",
                        "WIDE",
                        List.of(new Piece("/p/wide.mp4", 899_990, 900_200, 0)),
                        List.of(
                                new Piece("/card/Wide 1.mov", 899_975, 900_040, 3),
                                new Piece("/card/Wide 2.mov", 900_040, 900_200, 3)))
                : new Footage("wheel", "WHEEL", List.of(), List.of());
    }

    private static Timeline timeline(Media active) {
        Layout layout = new Layout(RATE, 0, 10, active, Sound.NONE);
        return Timeline.over("Lesson", Refined.of(TAKE, Refinements.NONE), layout, RealFilesTest::footage);
    }

    private static List<String> lines(Format format, Media active) {
        return format.write(timeline(active)).documents().get(0).text().lines().toList();
    }

    @Test
    void anEditDecisionListHasTheTimecodeAndTheNameOfEachFile() {
        assertThat(lines(Format.EDL, Media.ORIGINAL))
                .contains(
                        "001  WIDE     V     C        10:00:00:03 10:00:01:18 00:00:00:00 00:00:01:15",
                        "* FROM CLIP NAME:  Wide 1.mov",
                        "002  WIDE     V     C        10:00:01:18 10:00:02:03 00:00:01:15 00:00:02:00",
                        "* FROM CLIP NAME:  Wide 2.mov",
                        "* FROM CLIP NAME:  WHEEL TAKE 1");
        assertThat(lines(Format.EDL, Media.PROXY))
                .contains("001  WIDE     V     C        10:00:00:00 10:00:01:15 00:00:00:00 00:00:01:15");
    }

    @Test
    void aScriptForFfmpegCountsFromTheBeginningOfEachFile() {
        assertThat(lines(Format.FFCONCAT, Media.ORIGINAL))
                .startsWith(
                        "ffconcat version 1.0",
                        "file '/card/Wide 1.mov'",
                        "inpoint 1.000000",
                        "outpoint 2.600000",
                        "file '/card/Wide 2.mov'",
                        "inpoint 0.000000",
                        "outpoint 0.400000");
    }

    @Test
    void openTimelineIoHasTheRangeOfEachFile() throws Exception {
        Written written = Format.OTIO.write(timeline(Media.ORIGINAL));
        JsonNode clip =
                new ObjectMapper().readTree(written.documents().get(0).text()).at("/tracks/children/0/children/0");
        assertThat(clip.at("/source_range/start_time/value").asDouble()).isEqualTo(900_003);
        JsonNode original = clip.at("/media_references/original");
        assertThat(original.at("/target_url").asText()).isEqualTo("file:///card/Wide%201.mov");
        assertThat(original.at("/available_range/start_time/value").asDouble()).isEqualTo(899_993);
        assertThat(original.at("/available_range/duration/value").asDouble()).isEqualTo(50);
        assertThat(clip.at("/media_references/proxy/available_range/start_time/value")
                        .asDouble())
                .isEqualTo(899_990);
        assertThat(written.losses()).anyMatch(loss -> loss.contains("timecode of the others is not the same"));
    }

    @Test
    void aTableHasBothFilesAndTheTimecodeOfTheActiveOne() {
        assertThat(lines(Format.CSV, Media.ORIGINAL))
                .element(1)
                .isEqualTo("1,1,wide,WIDE,10:00:00:03,10:00:01:18,00:00:00:00,00:00:01:15,40,00:01.600,"
                        + "09:59:59:18,10:00:01:18,/p/wide.mp4,/card/Wide 1.mov");
    }
}
