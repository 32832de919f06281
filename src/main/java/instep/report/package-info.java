/**
 * Edge: what became of takes, as a page and as characters. Knows the core only.
 */
@NullMarked
package instep.report;

import org.jspecify.annotations.NullMarked;
