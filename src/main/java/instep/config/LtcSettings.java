package instep.config;

import instep.clock.PcmFormat;
import java.nio.file.Path;

/**
 * Where linear timecode comes in.
 *
 * @param pipe the named pipe into which its sound is written
 * @param freewheelNanos how long timecode goes on by itself before it counts as lost
 */
public record LtcSettings(Path pipe, PcmFormat format, long freewheelNanos) {}
