package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import instep.command.MadeLesson.Shot;
import instep.media.CodedFilm;
import instep.time.FrameRate;
import java.io.IOException;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The edit decision list and the OpenTimelineIO file as instructions for somebody else's editing engine: the MLT framework (Debian's package melt) lays the files on a playlist as the two formats' published
 * layouts say, renders it, and each frame is the one that the cut list says. None of the product's code reads the lists here, nor does it count labels: the counting is written out as SMPTE ST 12-1
 * has it. What is known of a recorded file beyond the list is what ffprobe tells.
 */
@Tag("lab")
class EditListsInMeltTest {
    @TempDir
    private Path folder = Path.of("");

    private FrameRate rate = FrameRate.R25;
    /** The list passes an hour. */
    private String start = "";

    /** Frames of a file, both counted from its beginning; the last one is not in it. */
    private record Entry(Path file, long in, long out) {}

    @ParameterizedTest
    @CsvSource({"R25, source: time-of-day", "R29_97_DROP, 'source: count-up, start: \"09:59:56;10\"'"})
    void anotherEngineShowsTheFramesOfTheCutList(FrameRate at, String source) throws Exception {
        rate = at;
        MadeLesson lesson = new MadeLesson(folder, rate);
        lesson.perform(source);
        List<Shot> shots = lesson.shots(1, MadeLesson.REFINED);
        lesson.record(shots, lesson.shots(2, MadeLesson.REFINED));
        lesson.instep(0, "match", lesson.path("cards"), "--write", lesson.path("media.yaml"));
        start = rate.isDropFrame() ? "09:59:58;00" : "09:59:58:00";
        String[] options = {"--media", lesson.path("media.yaml"), "--take", "1", "--start", start, "--write"};
        lesson.instep(
                0,
                "cutlist",
                MadeLesson.with(
                        MadeLesson.with(MadeLesson.REFINED, options),
                        lesson.path("a.edl") + "," + lesson.path("a.otio")));

        List<String> expected = MadeLesson.expected(shots);
        assertThat(rendered(decisions(folder.resolve("a.edl")))).isEqualTo(expected);
        assertThat(rendered(timeline(folder.resolve("a.otio")))).isEqualTo(expected);
    }

    /** By the columns of CMX 3600: number, reel, channels, cut, source in and out, record in and out; the name of the file is in the comment below. */
    private List<Entry> decisions(Path list) throws Exception {
        List<String> lines = Files.readAllLines(list);
        assertThat(lines.get(1)).isEqualTo(rate.isDropFrame() ? "FCM: DROP FRAME" : "FCM: NON-DROP FRAME");
        List<Entry> entries = new ArrayList<>();
        long record = frame(start);
        for (int i = 0; i < lines.size(); i++) {
            String line = lines.get(i);
            if (!line.isEmpty() && Character.isDigit(line.charAt(0))) {
                assertThat(line.substring(0, 3)).isEqualTo(String.format("%03d", entries.size() + 1));
                assertThat(line.substring(20, 24).strip()).isEqualTo("C");
                assertThat(frame(line.substring(53, 64))).isEqualTo(record);
                String clip = lines.get(i + 1);
                assertThat(clip).startsWith("* FROM CLIP NAME:  ");
                Path file = named(clip.substring(19));
                long first = begins(file);
                entries.add(
                        new Entry(file, frame(line.substring(29, 40)) - first, frame(line.substring(41, 52)) - first));
                record = frame(line.substring(65, 76));
            }
        }
        return entries;
    }

    /** By the schema: the clips of the first track one after the other, each a part of its active media. */
    private List<Entry> timeline(Path file) throws Exception {
        JsonNode timeline = new ObjectMapper().readTree(file.toFile());
        assertThat(timeline.at("/global_start_time/value").asLong()).isEqualTo(frame(start));
        List<Entry> entries = new ArrayList<>();
        for (JsonNode clip : timeline.at("/tracks/children/0/children")) {
            JsonNode media = clip.at("/media_references/"
                    + clip.get("active_media_reference_key").asText());
            // A path that is relative starts from the list's folder.
            Path shown = Path.of(
                    folder.toUri().resolve(URI.create(media.get("target_url").asText())));
            JsonNode range = clip.get("source_range");
            long in = range.at("/start_time/value").asLong() - begins(shown);
            entries.add(new Entry(shown, in, in + range.at("/duration/value").asLong()));
        }
        return entries;
    }

    /** SMPTE ST 12-1: with drop-frame counting the labels 00 and 01 are left out in each minute that is no tenth. */
    private long frame(String label) {
        String[] parts = label.split("[:;]", -1);
        long minutes = 60 * Long.parseLong(parts[0]) + Long.parseLong(parts[1]);
        long labels = (60 * minutes + Long.parseLong(parts[2])) * rate.counted() + Long.parseLong(parts[3]);
        return rate.isDropFrame() ? labels - 2 * (minutes - minutes / 10) : labels;
    }

    private Path named(String name) throws IOException {
        try (Stream<Path> files = Files.walk(folder.resolve("cards"))) {
            return files.filter(file -> file.endsWith(name) && !file.toString().contains("proxies"))
                    .findFirst()
                    .orElseThrow();
        }
    }

    private long begins(Path file) throws Exception {
        String said = run(
                "ffprobe", "-v", "error", "-show_entries", "stream_tags=timecode", "-of", "csv=p=0", file.toString());
        return frame(said.lines().filter(line -> line.contains(":")).findFirst().orElseThrow());
    }

    private List<String> rendered(List<Entry> entries) throws Exception {
        StringBuilder xml =
                new StringBuilder("<mlt LC_NUMERIC=\"C\"><profile width=\"128\" height=\"64\" progressive=\"1\""
                        + " sample_aspect_num=\"1\" sample_aspect_den=\"1\" display_aspect_num=\"2\" display_aspect_den=\"1\" colorspace=\"601\""
                        + " frame_rate_num=\"" + rate.numerator() + "\" frame_rate_den=\"" + rate.denominator()
                        + "\"/>");
        for (int i = 0; i < entries.size(); i++) {
            xml.append("<producer id=\"p" + i
                    + "\"><property name=\"mlt_service\">avformat</property><property name=\"resource\">"
                    + entries.get(i).file() + "</property></producer>");
        }
        xml.append("<playlist id=\"all\">");
        for (int i = 0; i < entries.size(); i++) {
            // In MLT the frame at an out point is in.
            xml.append("<entry producer=\"p" + i + "\" in=\"" + entries.get(i).in() + "\" out=\""
                    + (entries.get(i).out() - 1) + "\"/>");
        }
        Path list = Files.writeString(folder.resolve("list.mlt"), xml.append("</playlist></mlt>"));
        Path film = folder.resolve("melt.mov");
        run(
                "melt",
                list.toString(),
                "-consumer",
                "avformat:" + film,
                "vcodec=mjpeg",
                "qscale=3",
                "an=1",
                "real_time=-1");
        return CodedFilm.read(film);
    }

    private static String run(String... command) throws Exception {
        Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
        process.getOutputStream().close();
        String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertThat(process.waitFor()).as(said).isZero();
        return said;
    }
}
