package instep.daemon;

import instep.clock.Chase;
import instep.journal.SyncQuality;
import instep.time.TimecodeLine;
import org.jspecify.annotations.Nullable;

/**
 * What has become of timecode from outside.
 *
 * @param line null: there has been none yet, and something else stands in
 */
public record ChaseNews(Chase.News what, @Nullable TimecodeLine line, SyncQuality quality) {}
