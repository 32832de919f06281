/** What the Debian package holds that is made while it is built: man pages, the shell's completion, compressed texts. Not part of the program. */
@NullMarked
package instep.packaging;

import org.jspecify.annotations.NullMarked;
