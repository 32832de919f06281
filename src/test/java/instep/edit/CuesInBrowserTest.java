package instep.edit;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.sun.net.httpserver.HttpServer;
import instep.cutlist.Mark;
import instep.cutlist.Refinements;
import instep.cutlist.Sound;
import instep.cutlist.Take;
import instep.cutlist.Timeline;
import instep.desk.Browser;
import instep.time.FrameRate;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The WebVTT files as tracks of a video in Debian's chromium: what its TextTrack API tells (HTML Living Standard, 4.8.11.11) is what the timeline holds. */
@Tag("lab")
class CuesInBrowserTest {
    private static final String CUES = """
            new Promise((told, failed) => {
              const track = document.createElement('track');
              track.kind = '%s';
              track.src = '/track.vtt';
              track.addEventListener('error', () => failed('not read'));
              track.addEventListener('load', () => told(JSON.stringify(Array.from(track.track.cues,
                cue => ({from: cue.startTime, to: cue.endTime, text: cue.text, shown: cue.getCueAsHTML().textContent})))));
              const video = document.createElement('video');
              document.body.append(video);
              video.append(track);
              track.track.mode = 'hidden';
            })""";

    @TempDir
    private Path profile = Path.of("");

    /** As the browser has them: from, to, and the text that a viewer reads. */
    private List<String> cues(String vtt, String kind) throws Exception {
        HttpServer server = HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
        server.createContext("/", exchange -> {
            boolean track = exchange.getRequestURI().getPath().endsWith(".vtt");
            byte[] body = (track ? vtt : "<!doctype html><title>cues</title>").getBytes(StandardCharsets.UTF_8);
            exchange.getResponseHeaders().set("Content-Type", track ? "text/vtt" : "text/html");
            exchange.sendResponseHeaders(200, body.length);
            exchange.getResponseBody().write(body);
            exchange.close();
        });
        server.start();
        try (Browser browser = Browser.start(profile)) {
            browser.show("http://127.0.0.1:" + server.getAddress().getPort() + "/", 800, 600, false);
            List<String> cues = new ArrayList<>();
            for (JsonNode cue : new ObjectMapper()
                    .readTree(browser.value(CUES.formatted(kind)).toString())) {
                cues.add(Math.round(1_000 * cue.get("from").asDouble()) + " "
                        + Math.round(1_000 * cue.get("to").asDouble()) + " "
                        + cue.get("shown").asText());
            }
            return cues;
        } finally {
            server.stop(0);
        }
    }

    /** A cue as the browser should have it; frames of the programme. */
    private static String cue(FrameRate rate, long from, long to, String text) {
        double frame = 1_000.0 * rate.denominator() / rate.numerator();
        return Math.round(from * frame) + " " + Math.round(to * frame) + " " + text;
    }

    @Test
    void readsBackTheChaptersAndMarksOfATake() throws Exception {
        FrameRate rate = FrameRate.R25;
        Timeline timeline = Timelines.lesson(Timelines.FLAG, Sound.NONE);
        List<Written.Document> files = Format.VTT.write(timeline).documents();
        String title = "centre the \"clay\", & <press>";
        assertThat(cues(files.get(0).text(), "chapters"))
                .containsExactly(cue(rate, 0, 30, "Lesson"), cue(rate, 30, 250, title));
        // A mark that is a point is shown for two seconds.
        assertThat(cues(files.get(1).text(), "metadata"))
                .containsExactly(
                        cue(rate, 30, 80, "chapter: " + title),
                        cue(rate, 120, 160, "retake: this again"),
                        cue(rate, 130, 180, "note: in what goes"),
                        cue(rate, 160, 210, "retake"),
                        cue(rate, 240, 290, "clean"));
    }

    @Test
    void readsBackWhatAWriterOfCuesMustEscapeOverAnHourOfDropFrame() throws Exception {
        FrameRate rate = FrameRate.R29_97_DROP;
        String told = "&nbsp; 20 --> 30 µm <i>slip</i> & \"Ω\"";
        Take take =
                Timelines.take(List.of("wide"), List.of(new Mark("chapter", told + "\n\nNOTE", 107_892)), 0, 215_784);
        Timeline timeline = Timelines.of(take, Refinements.NONE, Timelines.layout(rate, Sound.NONE, 0));
        assertThat(cues(Format.VTT.write(timeline).documents().get(0).text(), "chapters"))
                .containsExactly(cue(rate, 0, 107_892, "Lesson"), cue(rate, 107_892, 215_784, told + " NOTE"));
    }
}
