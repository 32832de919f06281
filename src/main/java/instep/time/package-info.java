/**
 * Frame rates and timecode in whole numbers. Core: the JDK only, and neither clock, thread, file, socket nor log.
 */
@NullMarked
package instep.time;

import org.jspecify.annotations.NullMarked;
