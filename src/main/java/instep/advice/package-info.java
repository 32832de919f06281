/**
 * What {@code check} says of a mapping: its questions, what each gesture waits for, its graph. Imports settings and the core.
 */
@NullMarked
package instep.advice;

import org.jspecify.annotations.NullMarked;
