package instep.edit;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import instep.cutlist.Refinements;
import instep.cutlist.Sound;
import instep.cutlist.Timeline;
import instep.time.FrameRate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** The schema of OpenTimelineIO 0.18.1 (its page of schemas and the map of versions of its release), and what its library needs, deleting key by key. */
class OtioWriterTest {
    private static final Set<String> SCHEMAS = Set.of(
            "Timeline.1",
            "Stack.1",
            "Track.1",
            "Clip.2",
            "Marker.2",
            "ExternalReference.1",
            "MissingReference.1",
            "RationalTime.1",
            "TimeRange.1");
    /** Without these the library refuses a file. */
    private static final Map<String, List<String>> REQUIRED = Map.of(
            "Timeline.1", List.of("tracks"),
            "Stack.1", List.of("children"),
            "Track.1", List.of("kind", "children"),
            "Clip.2", List.of("media_references", "active_media_reference_key"),
            "Marker.2", List.of("marked_range"),
            "ExternalReference.1", List.of("target_url"),
            "RationalTime.1", List.of("rate", "value"),
            "TimeRange.1", List.of("start_time", "duration"));
    /** The names of colours that the schema has for markers. */
    private static final Set<String> COLOURS =
            Set.of("PINK", "RED", "ORANGE", "YELLOW", "GREEN", "CYAN", "BLUE", "PURPLE", "MAGENTA", "BLACK", "WHITE");

    private static JsonNode written(Timeline timeline) throws Exception {
        return new ObjectMapper()
                .readTree(Format.OTIO.write(timeline).documents().get(0).text());
    }

    private static List<JsonNode> objects(JsonNode node) {
        List<JsonNode> found = new ArrayList<>();
        if (node.has("OTIO_SCHEMA")) {
            found.add(node);
        }
        node.forEach(child -> found.addAll(objects(child)));
        return found;
    }

    /** Each part has the labels of its own stretch, and no handle reaches over the jump. */
    @Test
    void writesAShotInTwoClipsWhereTimecodeJumps() throws Exception {
        Timeline timeline =
                Timelines.of(Timelines.jumping(), Refinements.NONE, Timelines.layout(FrameRate.R25, Sound.NONE, 10));
        List<String> ranges = new ArrayList<>();
        for (JsonNode clip : objects(written(timeline))) {
            if (clip.get("OTIO_SCHEMA").asText().equals("Clip.2")) {
                JsonNode kept = clip.get("media_references").get("original").get("available_range");
                JsonNode used = clip.get("source_range");
                ranges.add((long) value(used, "start_time") + "+" + (long) value(used, "duration") + " of "
                        + (long) value(kept, "start_time") + "+" + (long) value(kept, "duration"));
            }
        }
        assertThat(ranges).containsExactly("900000+50 of 900000+60", "900050+25 of 900040+35", "90000+75 of 90000+75");
    }

    private static double value(JsonNode range, String which) {
        return range.get(which).get("value").asDouble();
    }

    @Test
    void hasOnlySchemasThatThereAreWithAllThatTheyNeed() throws Exception {
        for (Timeline timeline : List.of(
                Timelines.lesson(Timelines.FLAG, Sound.of("wide")),
                Timelines.withReels(Timelines.lesson(), FrameRate.R25, Map.of("wide", "WIDE")))) {
            for (JsonNode object : objects(written(timeline))) {
                String schema = object.get("OTIO_SCHEMA").asText();
                assertThat(SCHEMAS).contains(schema);
                REQUIRED.getOrDefault(schema, List.of())
                        .forEach(key -> assertThat(object.has(key))
                                .as("%s %s", schema, key)
                                .isTrue());
            }
        }
    }

    @Test
    void laysClipsOneAfterTheOtherWithTheirSourceTimecode() throws Exception {
        JsonNode timeline = written(Timelines.lesson(Timelines.DROP, Sound.NONE));
        assertThat(timeline.get("global_start_time").get("value").asDouble()).isEqualTo(90_000);
        JsonNode tracks = timeline.get("tracks").get("children");
        assertThat(tracks).hasSize(1);
        assertThat(tracks.get(0).get("kind").asText()).isEqualTo("Video");
        List<String> clips = new ArrayList<>();
        tracks.get(0).get("children").forEach(clip -> {
            JsonNode range = clip.get("source_range");
            clips.add(clip.get("name").asText() + " " + (long) value(range, "start_time") + " "
                    + (long) value(range, "duration"));
        });
        assertThat(clips)
                .containsExactly(
                        "wide take 1 900000 50",
                        "wheel take 1 900050 70",
                        "hands take 1 900160 40",
                        "wide take 1 900200 50");
    }

    @Test
    void hasProxyAndOriginalBesideEachOtherWithHandles() throws Exception {
        JsonNode clip = written(Timelines.lesson(Timelines.DROP, Sound.NONE)).at("/tracks/children/0/children/1");
        JsonNode media = clip.get("media_references");
        assertThat(media.fieldNames()).toIterable().containsExactly("proxy", "original");
        assertThat(media.has(clip.get("active_media_reference_key").asText())).isTrue();
        // RFC 3986: a space in a path is %20, and an absolute path has an empty authority before it.
        assertThat(media.at("/original/target_url").asText()).isEqualTo("file:///cards/WHEEL%201.mov");
        assertThat(media.at("/proxy/target_url").asText()).isEqualTo("proxies/WHEEL.mp4");
        JsonNode available = media.at("/original/available_range");
        assertThat(value(available, "start_time")).isEqualTo(900_040);
        assertThat(value(available, "duration")).isEqualTo(90);
    }

    @Test
    void putsMarksOnTheTrackInColoursThatThereAre() throws Exception {
        JsonNode markers = written(Timelines.lesson(Timelines.FLAG, Sound.NONE)).at("/tracks/children/0/markers");
        List<String> marks = new ArrayList<>();
        markers.forEach(marker -> {
            assertThat(COLOURS).contains(marker.get("color").asText());
            JsonNode range = marker.get("marked_range");
            assertThat(marker.get("range")).isEqualTo(range);
            marks.add(marker.at("/metadata/instep/mark").asText() + " " + (long) value(range, "start_time") + " "
                    + (long) value(range, "duration"));
        });
        assertThat(marks).containsExactly("chapter 30 1", "retake 120 40", "note 130 1", "retake 160 1", "clean 240 1");
    }

    @Test
    void hasTheSoundOfOneAngleOnATrackOfItsOwn() throws Exception {
        JsonNode sound =
                written(Timelines.lesson(Timelines.DROP, Sound.of("wide"))).at("/tracks/children/1");
        assertThat(sound.get("kind").asText()).isEqualTo("Audio");
        assertThat(sound.get("children")).hasSize(2);
        assertThat(value(sound.at("/children/1/source_range"), "start_time")).isEqualTo(900_160);
        assertThat(value(sound.at("/children/1/source_range"), "duration")).isEqualTo(90);
    }

    /** OpenTimelineIO 0.18.1 knows the rate as 30000/1001 to the last bit, and refuses 29.97. */
    @Test
    void writesBrokenRatesToTheLastBit() throws Exception {
        Timeline timeline = Timelines.of(
                Timelines.lesson(), Refinements.NONE, Timelines.layout(FrameRate.R29_97_DROP, Sound.NONE, 0));
        String text = Format.OTIO.write(timeline).documents().get(0).text();
        assertThat(text).contains("\"rate\" : 29.97002997002997,").doesNotContain("NaN");
        for (JsonNode object : objects(written(timeline))) {
            if (object.get("OTIO_SCHEMA").asText().equals("RationalTime.1")) {
                assertThat(object.get("rate").asDouble()).isEqualTo(30_000.0 / 1_001);
            }
        }
        assertThat(Format.OTIO.write(timeline).losses()).anyMatch(loss -> loss.contains("drop-frame"));
    }

    @Test
    void missesTheFilesThatNobodyNamed() throws Exception {
        Timeline timeline = Timelines.withReels(Timelines.lesson(), FrameRate.R25, Map.of("wide", "WIDE"));
        assertThat(written(timeline)
                        .at("/tracks/children/0/children/0/media_references/original/OTIO_SCHEMA")
                        .asText())
                .isEqualTo("MissingReference.1");
        assertThat(Format.OTIO.write(timeline).losses()).hasSize(2);
    }
}
