package instep.daemon;

/** How the program ends: the codes that it leaves to whoever started it. */
public final class Exit {
    /** Fine. */
    public static final int FINE = 0;
    /** The work failed. */
    public static final int FAILED = 1;
    /** Wrong usage or configuration. */
    public static final int WRONG = 2;

    /** The codes in words, for the end of a command's help. */
    public static final String CODES = "%nExit codes: 0 fine, 1 the work failed, 2 wrong usage or configuration.";

    private Exit() {}
}
