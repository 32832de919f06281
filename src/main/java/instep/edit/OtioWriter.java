package instep.edit;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import instep.cutlist.Clip;
import instep.cutlist.Media;
import instep.cutlist.Placed;
import instep.cutlist.Timeline;
import java.io.IOException;
import java.io.StringWriter;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.List;

/**
 * Writes OpenTimelineIO in JSON: Timeline.1, Stack.1, Track.1, Clip.2, Marker.2, with the proxy and the original of each clip beside each other. Marks stand on the track of the
 * pictures. A marker carries its range under two names: readers of the schema's next version look for the older one.
 */
final class OtioWriter {
    private static final JsonFactory JSON = new JsonFactory();

    private final Timeline timeline;
    private final double rate;
    private final JsonGenerator out;

    private OtioWriter(Timeline timeline, JsonGenerator out) {
        this.timeline = timeline;
        this.rate = (double) timeline.rate().numerator() / timeline.rate().denominator();
        this.out = out;
    }

    static Written write(Timeline timeline) {
        StringWriter text = new StringWriter();
        try (JsonGenerator out = JSON.createGenerator(text)) {
            out.setPrettyPrinter(new DefaultPrettyPrinter());
            new OtioWriter(timeline, out).timeline();
        } catch (IOException e) {
            throw new UncheckedIOException("memory cannot be written", e);
        }
        return Written.of(text + "\n", losses(timeline));
    }

    static List<String> losses(Timeline timeline) {
        List<String> losses = new ArrayList<>();
        if (timeline.rate().isDropFrame()) {
            losses.add("that labels are counted in drop-frame is only in its metadata");
        }
        for (Media media : Media.values()) {
            if (timeline.clips().stream()
                    .anyMatch(clip -> clip.source().file(media).isEmpty())) {
                losses.add("the files of the sort " + media.word()
                        + " are not known: their clips have the reel's name and no file (see cutlist: "
                        + media.word() + ")");
            }
        }
        if (timeline.clips().stream()
                .map(Clip::source)
                .anyMatch(source -> source.small().isPlaced()
                        && source.recorded().isPlaced()
                        && source.small().shift() != source.recorded().shift())) {
            losses.add("a clip has one source range: it is right for the "
                    + timeline.layout().active().word()
                    + " files, and the timecode of the others is not the same");
        }
        return losses;
    }

    private void timeline() throws IOException {
        begin("Timeline.1", timeline.title());
        metadata();
        out.writeFieldName("global_start_time");
        time(timeline.layout().start());
        out.writeFieldName("tracks");
        begin("Stack.1", "tracks");
        out.writeArrayFieldStart("children");
        track("Video", "pictures", timeline.clips(), timeline.marks());
        if (!timeline.sound().isEmpty()) {
            track("Audio", "sound", timeline.sound(), List.of());
        }
        out.writeEndArray();
        out.writeEndObject();
        out.writeEndObject();
    }

    private void metadata() throws IOException {
        out.writeObjectFieldStart("metadata");
        out.writeObjectFieldStart("instep");
        out.writeNumberField("take", timeline.take().number());
        out.writeStringField("rate", timeline.rate().label());
        out.writeBooleanField("drop_frame", timeline.rate().isDropFrame());
        out.writeEndObject();
        out.writeEndObject();
    }

    private void track(String kind, String name, List<Clip> clips, List<Placed> marks) throws IOException {
        begin("Track.1", name);
        out.writeStringField("kind", kind);
        out.writeArrayFieldStart("children");
        for (Clip clip : clips) {
            clip(clip);
        }
        out.writeEndArray();
        out.writeArrayFieldStart("markers");
        for (Placed mark : marks) {
            marker(mark);
        }
        out.writeEndArray();
        out.writeEndObject();
    }

    private void clip(Clip clip) throws IOException {
        begin("Clip.2", timeline.name(clip.source()));
        out.writeObjectFieldStart("metadata");
        out.writeObjectFieldStart("instep");
        out.writeStringField("angle", clip.source().angle());
        out.writeStringField("reel", clip.source().reel());
        out.writeEndObject();
        out.writeEndObject();
        out.writeFieldName("source_range");
        range(timeline.labelledIn(clip), clip.frames());
        out.writeStringField(
                "active_media_reference_key", timeline.layout().active().word());
        out.writeObjectFieldStart("media_references");
        for (Media media : Media.values()) {
            out.writeFieldName(media.word());
            reference(clip, media);
        }
        out.writeEndObject();
        out.writeEndObject();
    }

    private void reference(Clip clip, Media media) throws IOException {
        String file = clip.source().file(media);
        begin(
                file.isEmpty() ? "MissingReference.1" : "ExternalReference.1",
                clip.source().reel());
        if (!file.isEmpty()) {
            out.writeStringField("target_url", Urls.of(file));
        }
        out.writeFieldName("available_range");
        range(timeline.labelledKeptIn(clip, media), timeline.keptOut(clip, media) - timeline.keptIn(clip, media));
        out.writeEndObject();
    }

    private void marker(Placed mark) throws IOException {
        begin("Marker.2", mark.text().isEmpty() ? mark.name() : mark.name() + ": " + mark.text());
        out.writeObjectFieldStart("metadata");
        out.writeObjectFieldStart("instep");
        out.writeStringField("mark", mark.name());
        out.writeEndObject();
        out.writeEndObject();
        out.writeStringField("color", Colours.of(mark.name()));
        out.writeStringField("comment", mark.text());
        for (String key : List.of("marked_range", "range")) {
            out.writeFieldName(key);
            range(mark.record(), Math.max(1, mark.frames()));
        }
        out.writeEndObject();
    }

    private void begin(String schema, String name) throws IOException {
        out.writeStartObject();
        out.writeStringField("OTIO_SCHEMA", schema);
        out.writeStringField("name", name);
    }

    private void range(long start, long frames) throws IOException {
        out.writeStartObject();
        out.writeStringField("OTIO_SCHEMA", "TimeRange.1");
        out.writeFieldName("start_time");
        time(start);
        out.writeFieldName("duration");
        time(frames);
        out.writeEndObject();
    }

    private void time(long frames) throws IOException {
        out.writeStartObject();
        out.writeStringField("OTIO_SCHEMA", "RationalTime.1");
        out.writeNumberField("rate", rate);
        out.writeNumberField("value", (double) frames);
        out.writeEndObject();
    }
}
