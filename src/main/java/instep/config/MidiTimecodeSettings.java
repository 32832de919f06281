package instep.config;

import instep.input.DeviceMatch;

/**
 * Where MIDI timecode comes in.
 *
 * @param freewheelNanos how long timecode goes on by itself before it counts as lost
 */
public record MidiTimecodeSettings(DeviceMatch match, long freewheelNanos) {}
