/**
 * The program: the command line, the loop, and the daemon in which the parts meet. Imports everything; nothing imports it.
 */
@NullMarked
package instep;

import org.jspecify.annotations.NullMarked;
