package instep.config;

/** What could not be read as it stands, so that what seems to follow from it may be none: noted while reading. */
final class Doubts {
    private boolean states;
    private boolean values;

    /** Of how states lie in each other. */
    void ofStates(boolean doubt) {
        states |= doubt;
    }

    /** Of what values are. */
    void ofValues(boolean doubt) {
        values |= doubt;
    }

    boolean states() {
        return states;
    }

    boolean values() {
        return values;
    }
}
