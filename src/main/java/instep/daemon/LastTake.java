package instep.daemon;

import instep.journal.DamagedLineException;
import instep.journal.Entry;
import instep.journal.JournalFolder;
import instep.journal.JournalScan;
import instep.journal.Key;
import instep.journal.Kind;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneId;

/** The number of the last take of the day, so that a restart between two takes does not give the same number twice. */
final class LastTake {
    private LastTake() {}

    /** From today's journal; 0 if there is none, or none that can be read: then the counting begins anew. */
    static long today(Path folder) {
        try {
            if (!Files.isDirectory(folder)) {
                return 0;
            }
            String date = LocalDate.now(ZoneId.systemDefault()).toString();
            long last = 0;
            for (Path file : JournalFolder.journals(folder, date)) {
                last = Math.max(last, in(file));
            }
            return last;
        } catch (IOException e) {
            // The journal itself will say what is wrong with the folder when it is opened.
            return 0;
        }
    }

    /** One bad line is no reason to forget the takes behind it. */
    private static long in(Path file) throws IOException {
        long[] last = {0};
        JournalScan.of(file, new JournalScan.Visitor() {
            @Override
            public void entry(Path of, long line, Entry entry) {
                if (entry.kind() == Kind.TAKE_OPEN) {
                    last[0] = entry.number(Key.TAKE).orElse(last[0]);
                }
            }

            @Override
            public void damaged(DamagedLineException what) {
                // Whoever verifies the journal is told.
            }
        });
        return last[0];
    }
}
