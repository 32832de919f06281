package instep;

/** Which Instep this is. */
final class Version {
    /** From the jar's manifest; {@code development} when it runs from loose classes. */
    static final String NUMBER = number();

    private Version() {}

    private static String number() {
        String number = Version.class.getPackage().getImplementationVersion();
        return number == null ? "development" : number;
    }
}
