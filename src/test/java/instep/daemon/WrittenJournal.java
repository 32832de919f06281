package instep.daemon;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.zip.CRC32C;

/** A journal written by hand, as docs/journal.md says, with the JDK's CRC-32C; time stands at 25 frames a second, counted from 10:00:00:00. */
public final class WrittenJournal {
    private static final long NANOS_OF_FRAME = 40_000_000L;

    private final StringBuilder lines = new StringBuilder();
    private final String day;
    private int seq;

    public WrittenJournal(String day) {
        this.day = day;
    }

    /** A run at 25 frames a second with that configuration. */
    public WrittenJournal start(String config) {
        return start(config, "25");
    }

    public WrittenJournal start(String config, String rate) {
        seq = 0;
        add(0, "start", false, "\"version\":\"0.1.0\",\"file\":\"lesson.yaml\",\"pid\":1,\"rate\":\"" + rate + "\"");
        String text = config.replace("\\", "\\\\").replace("\"", "\\\"").replace("\n", "\\n");
        return add(0, "config", false, "\"file\":\"lesson.yaml\",\"sha256\":\"00\",\"text\":\"" + text + "\"");
    }

    public WrittenJournal open(long frame, int take) {
        return add(frame, "take-open", true, "\"take\":" + take);
    }

    /** The take that an earlier run had left open goes on. */
    public WrittenJournal resume(long frame, int take) {
        return add(frame, "take-open", true, "\"take\":" + take + ",\"resumed\":true");
    }

    public WrittenJournal close(long frame, int take) {
        return add(frame, "take-close", true, "\"take\":" + take);
    }

    /** The same where timecode has jumped: at that time of the run it is in that frame. */
    public WrittenJournal closeAt(long monoFrame, long frame, int take) {
        return line(monoFrame, frame, "take-close", true, "\"take\":" + take);
    }

    public WrittenJournal cut(long frame, String angle) {
        return add(frame, "cut", true, "\"angle\":\"" + angle + "\"");
    }

    /** A cut that ends a detour: by a transition before it that says so. */
    public WrittenJournal back(long frame, String angle) {
        add(
                frame,
                "transition",
                false,
                "\"from\":\"rolling\",\"to\":\"rolling\",\"event\":\"left.release\",\"returning\":true,\"line\":9");
        return cut(frame, angle);
    }

    /** The gear's word about the record that was written last. */
    public WrittenJournal confirmed(long frame, String angle) {
        return add(
                frame,
                "confirmed",
                true,
                "\"gear\":\"mixer\",\"angle\":\"" + angle + "\",\"ticket\":" + seq + ",\"latency_us\":1");
    }

    public WrittenJournal mark(long frame, String mark) {
        return add(frame, "mark", true, "\"mark\":\"" + mark + "\"");
    }

    public WrittenJournal edge(long frame) {
        return add(frame, "edge", false, "\"contact\":\"floor.left\",\"closed\":true");
    }

    /** The clock was set: from here frames count on from another one. */
    public WrittenJournal sync(long frame, long to) {
        return line(frame, to, "sync", true, "\"source\":\"time-of-day\",\"wall\":\"" + wall(to) + "\"");
    }

    public WrittenJournal stop(long frame) {
        return add(frame, "stop", false, "\"why\":\"SIGTERM\"");
    }

    /** A record of any kind, with the fields that it has of its own. */
    public WrittenJournal record(long frame, String kind, String fields) {
        return add(frame, kind, false, fields);
    }

    /** The same with its frame. */
    public WrittenJournal framed(long frame, String kind, String fields) {
        return add(frame, kind, true, fields);
    }

    /** What was never meant to stand there. */
    public WrittenJournal raw(String text) {
        lines.append(text);
        return this;
    }

    public Path into(Path folder) throws IOException {
        return Files.writeString(folder.resolve("journal-" + day + ".jsonl"), lines);
    }

    private WrittenJournal add(long frame, String kind, boolean framed, String rest) {
        return line(frame, frame, kind, framed, rest);
    }

    private WrittenJournal line(long monoFrame, long frame, String kind, boolean framed, String rest) {
        long all = 900_000 + frame;
        String tc = String.format(
                Locale.ROOT, "%02d:%02d:%02d:%02d", all / 90_000 % 24, all / 1_500 % 60, all / 25 % 60, all % 25);
        String line = "{\"seq\":" + ++seq + ",\"at\":\"" + wall(frame) + "\",\"mono\":" + monoFrame * NANOS_OF_FRAME
                + ",\"tc\":\"" + tc + "\",\"kind\":\"" + kind + "\"" + (framed ? ",\"frame\":" + all : "") + "," + rest;
        CRC32C crc = new CRC32C();
        crc.update(line.getBytes(StandardCharsets.UTF_8));
        lines.append(line).append(String.format(Locale.ROOT, ",\"crc\":\"%08x\"}%n", crc.getValue()));
        return this;
    }

    private String wall(long frame) {
        long seconds = frame / 25;
        return day
                + String.format(
                        Locale.ROOT,
                        "T%02d:%02d:%02d.000000000+01:00",
                        10 + seconds / 3_600 % 14,
                        seconds / 60 % 60,
                        seconds % 60);
    }
}
