/**
 * What follows a take: its cuts, the files that are written of them, the list of takes, what recorded files cover, the plan of a rough cut. Imports settings, journal, edit, media and the core.
 */
@NullMarked
package instep.after;

import org.jspecify.annotations.NullMarked;
