/**
 * Edge: the sound of recorded files, listened to for where they belong: offsets between them, two-pops, pauses. Reads files through FFmpeg; what it works out of samples knows neither files nor
 * clocks. Knows the core only.
 */
@NullMarked
package instep.sound;

import org.jspecify.annotations.NullMarked;
