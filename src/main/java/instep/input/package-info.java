/**
 * Foot switches and button boxes: from the kernel's device nodes to edges. Imports the core, JNA, hid4java and Netty;
 * no other edge.
 */
@NullMarked
package instep.input;

import org.jspecify.annotations.NullMarked;
