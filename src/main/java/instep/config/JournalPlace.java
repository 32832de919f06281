package instep.config;

import instep.journal.Keeping;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/**
 * What a configuration says of the journal.
 *
 * @param folder where it is kept; null: nothing was said
 */
public record JournalPlace(@Nullable Path folder, Keeping keeping) {}
