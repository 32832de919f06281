/**
 * Edge: timelines as files for editing programs, players and tables. Knows the core only.
 */
@NullMarked
package instep.edit;

import org.jspecify.annotations.NullMarked;
