/**
 * The entry: the command line with its commands. Imports the commands; nothing imports it.
 */
@NullMarked
package instep;

import org.jspecify.annotations.NullMarked;
