/**
 * The desk without its gear: rehearsals, scenarios, and the replay of a journal, on the switchboard of the daemon. Imports the daemon and all that it imports.
 */
@NullMarked
package instep.rehearsal;

import org.jspecify.annotations.NullMarked;
