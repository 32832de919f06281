package instep.after;

import instep.cutlist.Shot;
import instep.cutlist.Shots;
import instep.journal.Entry;
import instep.journal.JournalException;
import instep.journal.JournalFolder;
import instep.journal.JournalReader;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.TakeEvents;
import instep.time.Durations;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/** The cuts of a folder's last run as a table for people, read back from its journal. */
public final class ShotTable {
    private FrameRate rate = FrameRate.R25;
    private TakeEvents events = new TakeEvents();

    private ShotTable() {}

    /** The table, a take after the other. */
    public static String of(Path folder) throws IOException {
        ShotTable table = new ShotTable();
        for (Path file : JournalFolder.journals(folder)) {
            table.read(file);
        }
        return table.text();
    }

    private void read(Path file) throws IOException {
        try (JournalReader reader = JournalReader.open(file)) {
            for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                accept(entry.get());
            }
        } catch (JournalException e) {
            throw new IOException(e.getMessage(), e);
        }
    }

    private void accept(Entry entry) {
        if (entry.kind() == Kind.START) {
            events = new TakeEvents();
            rate = entry.text(Key.RATE).flatMap(FrameRate::named).orElse(rate);
        }
        events.accept(entry);
    }

    private String text() {
        List<Shot> shots = Shots.of(events.toList());
        StringBuilder out = new StringBuilder();
        long take = -1;
        int number = 0;
        for (Shot shot : shots) {
            if (shot.take() != take) {
                take = shot.take();
                number = 0;
                out.append(String.format("%nTake %d%n", take));
                out.append(String.format("  %4s  %-12s %-11s  %-11s  %s%n", "shot", "angle", "from", "to", "length"));
            }
            out.append(String.format(
                    "  %4d  %-12s %s  %s  %s%n",
                    ++number,
                    shot.angle(),
                    Timecode.wrapped(rate, shot.in()),
                    Timecode.wrapped(rate, shot.out()),
                    Durations.ofFrames(shot.frames(), rate)));
        }
        return out.append(shots.isEmpty() ? String.format("%nNo take was recorded.%n") : "")
                .append(System.lineSeparator())
                .toString();
    }
}
