/** What tests check against that is not of this project. */
@NullMarked
package instep.reference;

import org.jspecify.annotations.NullMarked;
