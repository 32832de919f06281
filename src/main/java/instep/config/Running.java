package instep.config;

/**
 * What a configuration says of its own coming into force.
 *
 * @param reload when it takes the place of another one while the program runs
 * @param afterCrash what becomes of a take that was open when the program ended
 */
public record Running(Reload reload, AfterCrash afterCrash) {
    /** As it is where nothing is said. */
    public static final Running USUAL = new Running(Reload.AFTER_TAKE, AfterCrash.RESUME);

    /** When a configuration takes the place of another one. */
    public enum Reload {
        /** At once, but never in the middle of a take. */
        AFTER_TAKE,
        /** At once, also in the middle of a take. */
        AT_ONCE
    }

    /** What becomes of a take that was open when the program ended. */
    public enum AfterCrash {
        /** It goes on. */
        RESUME,
        /** The machine begins anew. */
        HOME
    }
}
