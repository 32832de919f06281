/**
 * What the daemon says to the system that keeps it running: the service manager's notifications and watchdog. An edge: imports the core alone, and knows no other edge.
 */
@NullMarked
package instep.host;

import org.jspecify.annotations.NullMarked;
