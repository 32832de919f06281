/** Tests on a real kernel: what lies in {@code src/test/lab}, seen from outside. */
@NullMarked
package instep.lab;

import org.jspecify.annotations.NullMarked;
