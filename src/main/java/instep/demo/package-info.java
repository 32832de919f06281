/**
 * Stand-ins for the gear of a studio, for the demo and for tests: a mixer, a recorder and a lamp that listen on loopback and remember what they were
 * told. Plain JDK networking, so that they agree with the daemon's own only where both agree with the standard. Part of the program: nothing
 * but the root package and tests may import it.
 */
@NullMarked
package instep.demo;

import org.jspecify.annotations.NullMarked;
