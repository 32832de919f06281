package instep.journal;

import instep.time.FrameRate;
import java.nio.file.Path;
import java.time.ZoneId;

/**
 * Where and how a journal is kept.
 *
 * @param folder made if it is not there
 * @param zone whose days the files hold and whose offset the times carry
 * @param limit how many records are kept in memory while the disk does not take them
 */
public record JournalSettings(Path folder, FrameRate rate, ZoneId zone, Keeping keeping, int limit) {
    /** At a busy twenty records a second more than a quarter of an hour, and about 5 MB. */
    public static final int LIMIT = 20_000;

    public JournalSettings {
        if (limit < 1) {
            throw new IllegalArgumentException("at least one record must be kept, not " + limit);
        }
    }

    /** In the system's time zone. */
    public static JournalSettings of(Path folder, FrameRate rate, Keeping keeping) {
        return new JournalSettings(folder, rate, ZoneId.systemDefault(), keeping, LIMIT);
    }
}
