/**
 * From the journal's cuts to shots. Core: the JDK and {@code time} only, and neither clock, thread, file, socket nor log.
 */
@NullMarked
package instep.cutlist;

import org.jspecify.annotations.NullMarked;
