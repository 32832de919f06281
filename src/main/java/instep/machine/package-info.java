/**
 * The chart of states, what it does at an event, and the effects as calls on a sink. Core: the JDK, {@code time} and
 * {@code gesture} only, and neither clock, thread, file, socket nor log.
 */
@NullMarked
package instep.machine;

import org.jspecify.annotations.NullMarked;
