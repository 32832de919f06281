package instep.journal;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;

/**
 * A journal of eight hours at 25 frames a second, with as many records as wanted: eight takes of almost an hour, a cut every five seconds, a knob that is turned all the time and a mixer that is told of
 * it and answers. It is written straight into bytes, since there are many of them.
 */
final class LongJournal {
    static final int TAKES = 8;
    static final int CUTS_A_TAKE = 700;
    static final long FRAMES_A_CUT = 125;
    private static final long NANOS_OF_FRAME = 40_000_000L;
    private static final long HOUR = 90_000;
    private static final String[] ANGLES = {"wide", "wheel", "wide", "hands"};
    private static final String CONFIG = "instep: 1\\ntimecode: { rate: 25 }\\n"
            + "angles: { wide: { reel: WIDE }, wheel: { reel: WHEEL }, hands: { reel: HANDS } }\\n"
            + "machine: { states: { standby: } }\\n";

    private final byte[] sealed = new byte[4096];
    private final OutputStream out;
    private final long wanted;
    private long seq;

    private LongJournal(OutputStream out, long wanted) {
        this.out = out;
        this.wanted = wanted;
    }

    /** Writes it; gives how many records there are. */
    static long write(Path file, long records) throws IOException {
        try (OutputStream out = new BufferedOutputStream(Files.newOutputStream(file), 1 << 20)) {
            LongJournal journal = new LongJournal(out, records);
            journal.write();
            return journal.seq;
        }
    }

    private void write() throws IOException {
        add(0, "start", "\"version\":\"0.1.0\",\"file\":\"lesson.yaml\",\"pid\":1,\"rate\":\"25\"");
        add(0, "config", "\"file\":\"lesson.yaml\",\"sha256\":\"00\",\"text\":\"" + CONFIG + "\"");
        long between = Math.max(0, wanted / ((long) TAKES * CUTS_A_TAKE) - 4);
        for (int take = 0; take < TAKES; take++) {
            long in = take * HOUR + 100;
            framed(in, "take-open", "\"take\":" + (take + 1));
            for (int cut = 0; cut < CUTS_A_TAKE; cut++) {
                long at = in + cut * FRAMES_A_CUT;
                framed(at, "cut", "\"angle\":\"" + ANGLES[cut % ANGLES.length] + "\"");
                long ticket = seq;
                told(at * NANOS_OF_FRAME, ticket);
                framed(
                        at,
                        "confirmed",
                        "\"gear\":\"mixer\",\"angle\":\"-\",\"ticket\":" + ticket + ",\"latency_us\":900");
                turn(at, between);
            }
            framed(in + CUTS_A_TAKE * FRAMES_A_CUT, "take-close", "\"take\":" + (take + 1));
        }
        add(TAKES * HOUR * NANOS_OF_FRAME, "stop", "\"why\":\"SIGTERM\"");
    }

    /** The knob is turned, and the mixer told of it, until the next cut. */
    private void turn(long frame, long records) throws IOException {
        long step = FRAMES_A_CUT * NANOS_OF_FRAME / (records + 1);
        for (long done = 0; done < records; done += 3) {
            long mono = frame * NANOS_OF_FRAME + (done + 1) * step;
            add(mono, "position", "\"contact\":\"floor.swell\",\"value\":\"" + done % 100 + "\"");
            if (done + 2 < records) {
                told(mono, seq);
            }
        }
    }

    private void told(long mono, long ticket) throws IOException {
        add(mono, "sent", "\"gear\":\"mixer\",\"what\":\"GAIN 3\",\"ticket\":" + ticket + ",\"latency_us\":350");
        add(mono + 1_000_000, "reply", "\"gear\":\"mixer\",\"text\":\"OK\",\"ticket\":" + ticket);
    }

    private void framed(long frame, String kind, String fields) throws IOException {
        add(frame * NANOS_OF_FRAME, kind, "\"frame\":" + frame + "," + fields);
    }

    private void add(long mono, String kind, String fields) throws IOException {
        long second = mono / 1_000_000_000L;
        long frame = mono / NANOS_OF_FRAME;
        String text =
                "{\"seq\":" + ++seq + ",\"at\":\"2026-03-02T" + clock(second) + '.' + pad(mono % 1_000_000_000L, 9)
                        + "Z\",\"mono\":" + mono + ",\"tc\":\"" + clock(second) + ':' + pad(frame % 25, 2)
                        + "\",\"kind\":\"" + kind
                        + "\"," + fields;
        byte[] bytes = text.getBytes(StandardCharsets.US_ASCII);
        System.arraycopy(bytes, 0, sealed, 0, bytes.length);
        LineChecksum.seal(sealed, 0, bytes.length);
        sealed[bytes.length + LineChecksum.TAIL] = '\n';
        out.write(sealed, 0, bytes.length + LineChecksum.TAIL + 1);
    }

    private static String clock(long second) {
        return pad(second / 3_600 % 24, 2) + ':' + pad(second / 60 % 60, 2) + ':' + pad(second % 60, 2);
    }

    private static String pad(long number, int digits) {
        String text = Long.toString(number);
        return "0".repeat(Math.max(0, digits - text.length())) + text;
    }
}
