/** What comes over the network, taken apart: OSC packets and address patterns, prefixes of addresses. No socket is opened here. */
@NullMarked
package instep.input.net;

import org.jspecify.annotations.NullMarked;
