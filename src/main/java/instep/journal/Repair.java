package instep.journal;

import instep.time.FrameRate;
import java.io.Closeable;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Arrays;
import java.util.Optional;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/**
 * Copies the good lines of a journal into new files of the same names. Where lines were damaged, a record of the kind {@code fault} tells how many records are
 * missing there, so that the copy is a whole journal again. Of a line that begins with rubbish, as a power cut leaves it in zeros, what follows the rubbish is kept
 * if its checksum holds. The old files are only read. Not thread-safe.
 */
public final class Repair implements Closeable {
    private static final byte[] OPENING = "{\"seq\":".getBytes(StandardCharsets.US_ASCII);
    private static final int FEED = '\n';

    private final Consumer<String> out;
    private final LineBuffer made = new LineBuffer();
    private FrameRate rate = FrameRate.R25;
    private @Nullable OutputStream copy;
    private @Nullable Entry last;
    private long kept;
    private long left;
    private boolean afterDamage;

    private Repair(Consumer<String> out) {
        this.out = out;
    }

    /** What came of it. */
    public record Result(long kept, long left) {}

    /**
     * Repairs the files of a journal into a folder, which is made if need be.
     *
     * @param out told of each line that was left, in a sentence
     * @throws JournalException if a file of that name stands there already
     */
    public static Result of(Path place, Path folder, Consumer<String> out) throws IOException {
        JournalFolder.make(folder);
        try (Repair repair = new Repair(out)) {
            for (Path file : JournalScan.files(place)) {
                repair.file(file, folder.resolve(file.getFileName()));
            }
            return new Result(repair.kept, repair.left);
        }
    }

    @Override
    public void close() throws IOException {
        if (copy != null) {
            copy.close();
        }
    }

    private void file(Path from, Path to) throws IOException {
        if (Files.exists(to)) {
            throw new JournalException(to + " is there already, and no journal is written over. Name another folder.");
        }
        try (JournalReader reader = JournalReader.open(from);
                OutputStream file = Files.newOutputStream(to, StandardOpenOption.CREATE_NEW)) {
            copy = file;
            boolean more = true;
            while (more) {
                more = line(from, reader);
            }
            if (reader.tornBytes() > 0) {
                left++;
                out.accept(from + ": left " + reader.tornBytes() + " bytes after the last whole line");
            }
        } finally {
            copy = null;
        }
    }

    private boolean line(Path file, JournalReader reader) throws IOException {
        try {
            Optional<Entry> entry = reader.next();
            if (entry.isPresent()) {
                keep(entry.get(), reader.bytes());
            }
            return entry.isPresent();
        } catch (DamagedLineException e) {
            salvage(file, e, reader.bytes());
            return true;
        }
    }

    /** What stands behind the rubbish may be whole: a write that follows a lost one begins in the middle of its line. */
    private void salvage(Path file, DamagedLineException damage, byte[] bytes) throws IOException {
        int opening = lastOpening(bytes);
        if (opening > 0 && LineChecksum.holds(bytes, opening, bytes.length - opening)) {
            byte[] whole = Arrays.copyOfRange(bytes, opening, bytes.length);
            Optional<Entry> entry = JournalReader.parse(file, damage.line(), whole);
            if (entry.isPresent()) {
                left++;
                afterDamage = true;
                out.accept(
                        file + ":" + damage.line() + ": left the first " + opening + " bytes, kept the record behind");
                keep(entry.get(), whole);
                return;
            }
        }
        left++;
        afterDamage = true;
        out.accept(damage.getMessage() + ": left");
    }

    private static int lastOpening(byte[] bytes) {
        for (int at = bytes.length - OPENING.length; at > 0; at--) {
            if (Arrays.equals(bytes, at, at + OPENING.length, OPENING, 0, OPENING.length)) {
                return at;
            }
        }
        return -1;
    }

    private void keep(Entry entry, byte[] bytes) throws IOException {
        if (entry.kind() == Kind.START) {
            rate = entry.text(Key.RATE).flatMap(FrameRate::named).orElse(rate);
        } else if (afterDamage && last != null) {
            tellGap(last, entry.seq() - last.seq() - 1);
        }
        write(bytes, bytes.length);
        last = entry;
        kept++;
        afterDamage = false;
    }

    private void tellGap(Entry before, long missing) throws IOException {
        if (missing < 1) {
            return;
        }
        made.clear();
        GapLine.append(made, before, before.seq() + missing, Gaps.damaged(missing, missing - 1), rate);
        write(made.asByteBuffer().array(), made.length() - 1);
    }

    private void write(byte[] bytes, int length) throws IOException {
        OutputStream to = copy;
        if (to != null) {
            to.write(bytes, 0, length);
            to.write(FEED);
        }
    }
}
