package instep.config;

import instep.gear.Message;

/**
 * A camera position.
 *
 * @param reel the reel name of its recorder
 * @param cut what puts it on air
 * @param files a pattern of the names of what its recorder has recorded; empty: they have the reel's name in theirs
 * @param offset so many frames later is the timecode of its recorder than that of the journal
 */
public record AngleSettings(String name, String reel, Message cut, String files, long offset) {}
