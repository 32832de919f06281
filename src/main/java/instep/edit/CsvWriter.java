package instep.edit;

import instep.cutlist.Clip;
import instep.cutlist.Mark;
import instep.cutlist.Placed;
import instep.cutlist.Timeline;
import instep.time.Durations;
import instep.time.Timecode;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Collectors;

/** Writes tables of RFC 4180 with a header line: one of shots, and one of marks. */
final class CsvWriter {
    static final List<String> LOSSES = List.of("which sound is meant has no place in it");

    private final StringBuilder out = new StringBuilder();

    private CsvWriter() {}

    static Written write(Timeline timeline) {
        return new Written(
                List.of(new Written.Document("", shots(timeline)), new Written.Document("marks", marks(timeline))),
                LOSSES);
    }

    private static String shots(Timeline timeline) {
        CsvWriter table = new CsvWriter();
        table.row(
                "take",
                "shot",
                "angle",
                "reel",
                "source in",
                "source out",
                "record in",
                "record out",
                "frames",
                "length",
                "kept in",
                "kept out",
                "proxy",
                "original");
        int number = 0;
        for (Clip clip : timeline.clips()) {
            long kept = timeline.labelledKeptIn(clip, timeline.layout().active());
            table.row(
                    timeline.take().number(),
                    ++number,
                    clip.source().angle(),
                    clip.source().reel(),
                    timeline.sourceIn(clip),
                    timeline.sourceOut(clip),
                    timeline.record(clip.record()),
                    timeline.record(clip.recordOut()),
                    clip.frames(),
                    Durations.ofFrames(clip.frames(), timeline.rate()),
                    Timecode.wrapped(timeline.rate(), kept),
                    Timecode.wrapped(timeline.rate(), kept + timeline.keptOut(clip) - timeline.keptIn(clip)),
                    clip.source().proxy(),
                    clip.source().original());
        }
        return table.out.toString();
    }

    private static String marks(Timeline timeline) {
        CsvWriter table = new CsvWriter();
        table.row("take", "mark", "text", "source", "record", "frames", "shot");
        for (Placed mark : timeline.marks()) {
            table.row(
                    timeline.take().number(),
                    mark.name(),
                    mark.text(),
                    timeline.source(mark.source()),
                    timeline.record(mark.record()),
                    mark.frames(),
                    mark.clip() + 1);
        }
        for (Mark mark : timeline.unplaced()) {
            table.row(timeline.take().number(), mark.name(), mark.text(), timeline.source(mark.frame()), "", 0, "");
        }
        return table.out.toString();
    }

    private void row(Object... fields) {
        out.append(Arrays.stream(fields).map(CsvWriter::field).collect(Collectors.joining(",")))
                .append("\r\n");
    }

    private static String field(Object value) {
        String text = value.toString();
        boolean special = text.chars().anyMatch(c -> c == ',' || c == '"' || c == '\r' || c == '\n');
        return special ? "\"" + text.replace("\"", "\"\"") + "\"" : text;
    }
}
