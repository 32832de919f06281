package instep.daemon;

/** Which Instep this is. */
public final class Version {
    /** From the jar's manifest; {@code development} when it runs from loose classes. */
    public static final String NUMBER = number();

    private Version() {}

    private static String number() {
        String number = Version.class.getPackage().getImplementationVersion();
        return number == null ? "development" : number;
    }
}
