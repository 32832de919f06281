/**
 * Contacts in, gestures out: debounce, press, release, tap, hold. Time comes in with the edges. Core: the JDK and
 * {@code time} only, and neither clock, thread, file, socket nor log.
 */
@NullMarked
package instep.gesture;

import org.jspecify.annotations.NullMarked;
