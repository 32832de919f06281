package instep.gear;

import instep.machine.Values;

/** What a gear would be told, for people: the same words that the journal has when it was told. */
public final class Wording {
    private Wording() {}

    /** One line; for what that gear cannot be told, why. */
    public static String of(GearSettings gear, Payload payload, Values values) {
        try {
            Wire wire = encoder(gear).encode(payload, Secrets.NONE.among(values));
            wire.release();
            return wire.text();
        } catch (IllegalArgumentException e) {
            return "(" + e.getMessage() + ")";
        }
    }

    /** Whether it reads the same whatever the values are; secrets are the same always. */
    public static boolean isFixed(Payload payload) {
        return Render.names(payload).stream().allMatch(name -> name.startsWith(Secrets.PREFIX));
    }

    private static Wire.Encoder encoder(GearSettings gear) {
        if (gear instanceof GearSettings.Tcp tcp) {
            return new TextEncoder(tcp.framing());
        } else if (gear instanceof GearSettings.Serial serial) {
            return new TextEncoder(serial.framing());
        } else if (gear instanceof GearSettings.Led led) {
            return new LedEncoder(led.report());
        } else if (gear instanceof GearSettings.Osc) {
            return new OscEncoder();
        } else if (gear instanceof GearSettings.Http http) {
            return new HttpEncoder(http, "");
        } else if (gear instanceof GearSettings.Sound) {
            return new SoundEncoder();
        }
        return new TextEncoder(GearSettings.LineEnd.NONE);
    }
}
