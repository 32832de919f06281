package instep.media;

import instep.cutlist.Recording;
import java.util.Optional;

/**
 * Frames of a file one after the other; without a file black or silence.
 *
 * @param first which frame of the file comes first, from 0
 * @param frames how many
 */
public record Stretch(Optional<Recording> recording, long first, long frames) {}
