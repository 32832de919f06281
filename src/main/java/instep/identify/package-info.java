/**
 * What devices send, told to a person as configuration: contacts that were pressed, how they bounce, a first configuration. Imports the core and {@code input}; opens
 * nothing itself.
 */
@NullMarked
package instep.identify;

import org.jspecify.annotations.NullMarked;
