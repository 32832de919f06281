/**
 * The desk page and the metrics: shows what the running desk hands over, in a browser, and changes nothing. Lives on a thread of its own, so that no page can
 * keep a pedal waiting. Imports the core, Jackson and Netty; no other edge. The text of the metrics is written by hand: a library for it would weigh
 * more than the whole package.
 */
@NullMarked
package instep.desk;

import org.jspecify.annotations.NullMarked;
