/**
 * The devices that are commanded: from messages to bytes, one link for each. Imports the core and Netty; no other edge.
 */
@NullMarked
package instep.gear;

import org.jspecify.annotations.NullMarked;
