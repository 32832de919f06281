package instep.desk;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import instep.time.FrameRate;
import instep.time.TimecodeLine;
import java.io.IOException;
import java.io.StringWriter;
import java.io.UncheckedIOException;
import java.util.List;

/** Writes a snapshot in JSON (RFC 8259) for the script of the page. Times are in milliseconds. */
final class SnapshotJson {
    private static final JsonFactory JSON = new JsonFactory();
    private static final double NANOS_PER_MILLI = 1_000_000;

    private final JsonGenerator out;

    private SnapshotJson(JsonGenerator out) {
        this.out = out;
    }

    /** A fault as it is shown; the number is a word where it is not the desk's. */
    record Shown(String number, String what, String why, String label, boolean stands, long times) {
        static Shown of(Alarm alarm) {
            return new Shown(alarm.name(), alarm.what(), alarm.why(), "", true, 1);
        }

        static Shown of(Snapshot.Fault fault) {
            return new Shown(
                    String.valueOf(fault.number()),
                    fault.what(),
                    fault.why(),
                    fault.label(),
                    fault.stands(),
                    fault.times());
        }
    }

    private interface Writing {
        void to(SnapshotJson json) throws IOException;
    }

    /** All of it, with the faults that are still to be shown. */
    static String state(Snapshot snapshot, List<Shown> faults, Desk desk) {
        return object(json -> json.all(snapshot, faults, desk));
    }

    /** Only where time has got to. */
    static String beat(Snapshot snapshot, Desk desk) {
        return object(json -> json.clock(snapshot, desk.now()));
    }

    private static String object(Writing writing) {
        StringWriter text = new StringWriter();
        try (JsonGenerator out = JSON.createGenerator(text)) {
            out.writeStartObject();
            writing.to(new SnapshotJson(out));
            out.writeEndObject();
        } catch (IOException e) {
            throw new UncheckedIOException("memory cannot be written", e);
        }
        return text.toString();
    }

    private void all(Snapshot snapshot, List<Shown> faults, Desk desk) throws IOException {
        clock(snapshot, desk.now());
        rate(snapshot.line().rate(), desk.speed());
        out.writeStringField("version", desk.version());
        out.writeStringField("sync", snapshot.sync());
        out.writeObjectFieldStart("onAir");
        out.writeStringField("angle", snapshot.onAir().angle());
        out.writeStringField("words", snapshot.onAir().words());
        out.writeStringField("doubt", snapshot.onAir().doubt());
        out.writeEndObject();
        out.writeObjectFieldStart("take");
        out.writeNumberField("number", snapshot.take().number());
        out.writeBooleanField("open", snapshot.take().open());
        out.writeEndObject();
        list("recorders", snapshot.recorders(), this::part);
        list("pedals", snapshot.pedals(), this::pedal);
        list("links", snapshot.links(), this::part);
        list("marks", snapshot.marks(), this::mark);
        list("happenings", snapshot.happenings(), this::happening);
        list("faults", faults, this::fault);
    }

    /** The frame of now, how long it has lasted already, and how long the take has. */
    private void clock(Snapshot snapshot, long now) throws IOException {
        TimecodeLine line = snapshot.line();
        long frame = line.frameAt(now);
        out.writeObjectFieldStart("clock");
        out.writeNumberField("frame", Math.floorMod(frame, line.rate().framesPerDay()));
        out.writeNumberField("into", (now - line.nanosAt(frame)) / NANOS_PER_MILLI);
        out.writeNumberField("take", snapshot.take().lasted(now) / NANOS_PER_MILLI);
        out.writeEndObject();
    }

    private void rate(FrameRate rate, double speed) throws IOException {
        out.writeObjectFieldStart("rate");
        out.writeStringField("label", rate.label());
        out.writeNumberField("counted", rate.counted());
        out.writeNumberField("dropped", rate.dropped());
        out.writeNumberField("numerator", rate.numerator());
        out.writeNumberField("denominator", rate.denominator());
        out.writeNumberField("speed", speed);
        out.writeEndObject();
    }

    private interface One<T> {
        void write(T one) throws IOException;
    }

    private <T> void list(String name, List<T> all, One<T> one) throws IOException {
        out.writeArrayFieldStart(name);
        for (T each : all) {
            out.writeStartObject();
            one.write(each);
            out.writeEndObject();
        }
        out.writeEndArray();
    }

    private void part(Snapshot.Part part) throws IOException {
        state(part.name(), part.words(), part.fine());
        out.writeStringField("latency", part.latency());
    }

    private void pedal(Snapshot.Pedal pedal) throws IOException {
        state(pedal.name(), pedal.words(), pedal.fine());
        list("contacts", pedal.contacts(), contact -> {
            out.writeStringField("name", contact.name());
            out.writeBooleanField("closed", contact.closed());
        });
    }

    private void state(String name, String words, boolean fine) throws IOException {
        out.writeStringField("name", name);
        out.writeStringField("words", words);
        out.writeBooleanField("fine", fine);
    }

    private void mark(Snapshot.Marked mark) throws IOException {
        out.writeStringField("label", mark.label());
        out.writeStringField("text", mark.text());
    }

    private void happening(Snapshot.Line line) throws IOException {
        out.writeNumberField("number", line.number());
        out.writeStringField("text", line.text());
    }

    private void fault(Shown fault) throws IOException {
        out.writeStringField("number", fault.number());
        out.writeStringField("what", fault.what());
        out.writeStringField("why", fault.why());
        out.writeStringField("label", fault.label());
        out.writeBooleanField("stands", fault.stands());
        out.writeNumberField("times", fault.times());
    }
}
