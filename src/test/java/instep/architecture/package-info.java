@NullMarked
package instep.architecture;

import org.jspecify.annotations.NullMarked;
