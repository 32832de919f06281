package instep.gear;

import org.jspecify.annotations.Nullable;

/** What became of the gear and of what it was told; called on the loop thread. Tickets are the sender's own numbers. */
public interface GearListener {
    /** State of a link. */
    enum LinkState {
        /** Ready to be told things. */
        UP,
        /** Not reachable; it is tried again. */
        LOST
    }

    /** A link changed, or is still lost for another reason; {@code why} is a sentence for a person. */
    void link(int gear, LinkState state, String why);

    /**
     * The socket took it.
     *
     * @param text what was said, readable, at most one line
     * @param nanos {@code System.nanoTime()} when the socket had it
     */
    void sent(int gear, long ticket, String text, long nanos);

    /** It was not sent, and will not be. */
    void missed(int gear, long ticket, String text, String why);

    /**
     * The gear said something: a line, or the status of a response.
     *
     * @param ticket of what it answers; -1 if nobody asked
     */
    void reply(int gear, long ticket, String text, long nanos);

    /**
     * What was answered to a request, or to what is asked over and over: the whole body of a response that counts as done, if it is text of at most {@value Exchange#MOST_KEPT_BYTES} bytes, and its reply follows.
     *
     * @param ticket of the request; -1 if it is one that is made over and over, or an answer to the heartbeat
     */
    default void answer(int gear, long ticket, String body, long nanos) {
        // The status is enough for most.
    }

    /** What it is asked over and over has been sent to it; what it answers was so at some time since then. */
    default void asked(int gear, long nanos) {
        // Few want to know.
    }

    /** The gear answered no, or not in time ({@code silent}). */
    void refused(int gear, long ticket, boolean silent, @Nullable String why);
}
