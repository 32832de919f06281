/**
 * Where timecode comes from: maps the monotonic clock to timecode. Imports the core; no other edge.
 */
@NullMarked
package instep.clock;

import org.jspecify.annotations.NullMarked;
