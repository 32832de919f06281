package instep.journal;

/** The faults of gear: what it has not done of what it was told to do. */
public final class GearFault {
    private GearFault() {}

    /** The gear answered no. */
    public static Happening refused(String gear, String text, long ticket) {
        return new Happening(Kind.FAULT, Key.GEAR, gear, Key.TEXT, text, Key.TICKET, Happening.some(ticket));
    }

    /** The gear did not answer in time. */
    public static Happening silent(String gear, String text, long ticket) {
        return new Happening(
                Kind.FAULT, Key.GEAR, gear, Key.TEXT, text, Key.TICKET, Happening.some(ticket), Key.SILENT, true);
    }

    /** The gear was told of the cut to that angle, and has not said in time that it is on air. */
    public static Happening unconfirmed(String gear, String text, long ticket, String angle) {
        return new Happening(
                Kind.FAULT,
                Key.GEAR,
                gear,
                Key.TEXT,
                text,
                Key.TICKET,
                Happening.some(ticket),
                Key.SILENT,
                true,
                Key.ANGLE,
                angle);
    }

    /** A recorder does not roll in a take: it never said so ({@code silent}), or it has stopped. */
    public static Happening notRolling(String gear, String text, boolean silent) {
        return new Happening(Kind.FAULT, Key.GEAR, gear, Key.TEXT, text, Key.ROLL, silent ? "silent" : "stopped");
    }
}
