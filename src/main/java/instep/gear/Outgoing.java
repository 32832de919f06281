package instep.gear;

/** A message on its way to one gear. */
interface Outgoing {
    Wire wire();

    /** The sender's own number. */
    long ticket();

    /** When it is stale, on the loop's clock. */
    long deadline();

    /** Its bytes went out once, and it waits for a second attempt. */
    default boolean isSent() {
        return false;
    }

    /** A message that needs no more than its bytes. */
    record Parcel(Wire wire, long ticket, long deadline) implements Outgoing {}
}
