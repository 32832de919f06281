/**
 * What follows a take: its cuts, the files that are written of them, the list of takes. Imports settings, journal, edit and the core.
 */
@NullMarked
package instep.after;

import org.jspecify.annotations.NullMarked;
