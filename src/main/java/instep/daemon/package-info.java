/**
 * The running desk: the loop, the daemon, and the switchboard on which the edges meet. Imports the edges, the settings and the core; no other part of the program.
 */
@NullMarked
package instep.daemon;

import org.jspecify.annotations.NullMarked;
