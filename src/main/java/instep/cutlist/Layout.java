package instep.cutlist;

import instep.time.FrameRate;

/**
 * How a programme is laid out on a timeline.
 *
 * @param start the frame of the label that the timeline begins with
 * @param handles so many frames more are kept at both ends of each clip, as far as the take has them; 0: the whole take
 * @param active the files that are shown first
 */
public record Layout(FrameRate rate, long start, long handles, Media active, Sound sound) {}
