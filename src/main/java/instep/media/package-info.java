/**
 * The recorded files: what FFmpeg's programs tell of them and make of them. Nothing here writes to a file that a recorder has made. Edge: it may know the core, the JDK and a reader of JSON.
 */
@NullMarked
package instep.media;

import org.jspecify.annotations.NullMarked;
