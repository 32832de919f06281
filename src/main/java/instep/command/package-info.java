/**
 * The commands of the command line, each of which reads its options, does one thing by the packages beside it, and tells how it went. Imports everything but the entry.
 */
@NullMarked
package instep.command;

import org.jspecify.annotations.NullMarked;
