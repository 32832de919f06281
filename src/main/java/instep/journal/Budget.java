package instep.journal;

import instep.time.FrameRate;
import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/**
 * Keeps the files of a journal within their budget: of the oldest, everything is removed but what a later one needs, which are the beginning of the run, its
 * configuration and its timecode. A record tells how much is gone, so that what is left is a whole journal. What belongs to a take that is open, or
 * is in the file that is being written, stays. Used on the writer's thread.
 */
final class Budget {
    private static final Set<Kind> NEEDED = EnumSet.of(Kind.START, Kind.CONFIG, Kind.SYNC);

    private static final Set<Kind> ENDS = EnumSet.of(Kind.START, Kind.TAKE_OPEN, Kind.TAKE_CLOSE);

    private final Map<Path, Ends> known = new HashMap<>();
    private final Path folder;
    private final long bytes;

    Budget(Path folder, long bytes) {
        this.folder = folder;
        this.bytes = bytes;
    }

    /**
     * How a file begins and ends.
     *
     * @param opens whether a take is opened in it that is open at its end
     * @param closes whether one is closed in it, or a run begins, so that what was open before is no more
     * @param lastBeginning the line on which its last run begins; 1 if that is in an earlier file
     */
    private record Ends(boolean beginsRun, boolean opens, boolean closes, long lastBeginning) {}

    /**
     * Removes as much as is needed.
     *
     * @param current the file that is being written
     * @param tell takes what belongs into the journal: which files were removed, and if there is more than the budget and nothing that may go
     */
    void keep(Path current, Consumer<Happening> tell) throws IOException {
        List<Path> files = JournalFolder.journals(folder);
        long total = 0;
        for (Path file : files) {
            total += Files.size(file);
        }
        int from = 0;
        while (total > bytes && from < files.size()) {
            int end = endOfTakes(files, from);
            if (files.subList(from, end).contains(current)) {
                tell.accept(Happening.fault("the journal takes " + total / 1_000_000 + " MB, more than its budget of "
                        + bytes / 1_000_000 + " MB, and has nothing more that may be removed: raise the budget"));
                return;
            }
            for (Path file : files.subList(from, end)) {
                total -= trim(file, files);
                if (!Files.exists(file)) {
                    tell.accept(Happening.removed(String.valueOf(file.getFileName())));
                }
            }
            from = end;
        }
    }

    /** Behind the last file into which a take reaches that is open at the end of this one, or of the next. */
    private int endOfTakes(List<Path> files, int from) throws IOException {
        int end = from + 1;
        boolean isOpen = ends(files.get(from)).opens();
        while (end < files.size() && isOpen) {
            Ends next = ends(files.get(end));
            isOpen = next.opens() || !next.closes();
            end += next.beginsRun() ? 0 : 1;
            isOpen &= !next.beginsRun();
        }
        return end;
    }

    private Ends ends(Path file) throws IOException {
        Ends before = known.get(file);
        if (before != null) {
            return before;
        }
        EnumSet<Kind> seen = EnumSet.noneOf(Kind.class);
        boolean[] isOpen = {false};
        long[] beginning = {0};
        boolean[] first = {false};
        JournalScan.of(file, ENDS, new JournalScan.Visitor() {
            @Override
            public void entry(Path of, long line, Entry entry) {
                seen.add(entry.kind());
                isOpen[0] = entry.kind() == Kind.TAKE_OPEN;
                beginning[0] = entry.kind() == Kind.START ? line : beginning[0];
                first[0] |= entry.kind() == Kind.START && line == 1;
            }

            /** Damaged lines count as removed: the numbers of the records around them tell how many there were. */
            @Override
            public void damaged(DamagedLineException what) {}
        });
        Ends ends = new Ends(
                first[0],
                isOpen[0],
                seen.contains(Kind.TAKE_CLOSE) || seen.contains(Kind.START),
                Math.max(1, beginning[0]));
        known.put(file, ends);
        return ends;
    }

    /** Takes out of a file what is not needed, or the file itself if none of it is; returns how many bytes that gives. */
    private long trim(Path file, List<Path> files) throws IOException {
        long before = Files.size(file);
        Path next = files.get(files.indexOf(file) + 1);
        if (ends(next).beginsRun()) {
            Files.delete(file);
            return before;
        }
        Path part = file.resolveSibling(file.getFileName() + ".part");
        try (OutputStream out = new BufferedOutputStream(Files.newOutputStream(part))) {
            new Trim(out).copy(file, ends(file).lastBeginning());
        }
        Files.move(part, file, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
        return before - Files.size(file);
    }

    /** Copies what is needed, with a record in each place where something else stood. */
    private static final class Trim {
        private final OutputStream out;
        private final LineBuffer gap = new LineBuffer();
        private FrameRate rate = FrameRate.R25;
        private long kept = -1;

        private Trim(OutputStream out) {
            this.out = out;
        }

        private void copy(Path file, long from) throws IOException {
            try (JournalReader reader = JournalReader.open(file)) {
                Entry last = null;
                for (Entry entry = next(reader); entry != null; entry = next(reader)) {
                    if (reader.line() >= from) {
                        take(entry, last, reader.bytes());
                        last = entry;
                    }
                }
                if (last != null) {
                    tellGap(last, last.seq() + 1);
                }
            }
        }

        private static @Nullable Entry next(JournalReader reader) throws IOException {
            while (true) {
                try {
                    return reader.next().orElse(null);
                } catch (DamagedLineException e) {
                    // The next good one is further on.
                    reader.line();
                }
            }
        }

        private void take(Entry entry, @Nullable Entry before, byte[] bytes) throws IOException {
            // The file may have been trimmed before.
            kept = kept < 0 ? entry.seq() - 1 - entry.number(Key.GAP).orElse(0) : kept;
            if (NEEDED.contains(entry.kind())) {
                rate = entry.text(Key.RATE).flatMap(FrameRate::named).orElse(rate);
                if (before != null) {
                    tellGap(before, entry.seq());
                }
                out.write(bytes);
                out.write('\n');
                kept = entry.seq();
            }
        }

        private void tellGap(Entry before, long next) throws IOException {
            long removed = next - kept - 1;
            if (removed > 0) {
                gap.clear();
                GapLine.append(gap, before, next - 1, Gaps.removed(removed), rate);
                out.write(gap.asByteBuffer().array(), 0, gap.length());
            }
        }
    }
}
