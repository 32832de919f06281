package instep.daemon;

/**
 * What is being worked on, for the records of what follows from it: the event, the record that is its cause, and the number under which gear is told what follows. Remembers
 * the latest edges, which gestures name as their cause, and the latest numbers. Allocates nothing after construction. Loop thread only.
 */
final class Subject {
    private final RecentEdges edges;
    private final Tickets tickets;
    private String event = "start";
    private long cause = -1;
    private long ticket;

    Subject(int contacts) {
        this(contacts, new Tickets());
    }

    /** The same with the numbers that were given out before. */
    Subject(int contacts, Tickets tickets) {
        edges = new RecentEdges(contacts);
        this.tickets = tickets;
    }

    /** Remembers the edges of contacts that another knows, too; by contact: its number there, or negative. */
    void goOnFrom(Subject other, int[] theirs) {
        edges.goOnFrom(other.edges, theirs);
    }

    /** Something happened that is in that record (-1: in none) and is decided at that instant. */
    void about(String what, long record, long at) {
        event = what;
        cause = record;
        issue(Math.max(0, record), at);
    }

    /** A contact closed or opened. */
    void edge(int contact, long nanos, long record) {
        edges.add(contact, nanos, record);
    }

    /** A gesture began with the contact's edge at that time. Its own record follows. */
    void gesture(String what, int contact, long began) {
        event = what;
        cause = edges.record(contact, began);
    }

    /** What follows is told to gear under the number of that record. */
    void issue(long record, long at) {
        ticket = record;
        tickets.issue(record, at);
    }

    String event() {
        return event;
    }

    /** The record of the cause; -1: none. */
    long cause() {
        return cause;
    }

    long ticket() {
        return ticket;
    }

    Tickets tickets() {
        return tickets;
    }
}
