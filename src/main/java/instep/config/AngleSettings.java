package instep.config;

import instep.gear.Message;

/**
 * A camera position.
 *
 * @param reel the reel name of its recorder
 * @param cut what puts it on air
 */
public record AngleSettings(String name, String reel, Message cut) {}
