package instep.desk;

import instep.time.TimecodeLine;
import java.util.List;

/**
 * What goes on at the desk at one moment. Immutable, so that the thread which makes it and the one which shows it share nothing else. Instants are in
 * nanoseconds of the desk's monotonic time.
 *
 * @param line from which timecode is told
 * @param sync where timecode comes from, in words
 * @param recorders the gear that says whether it rolls
 * @param marks of the latest take, the newest last
 * @param happenings the latest lines of the event log, the newest last
 * @param faults what stands first, then what has happened, the newest first in both
 */
public record Snapshot(
        OnAir onAir,
        Take take,
        TimecodeLine line,
        String sync,
        List<Part> recorders,
        List<Pedal> pedals,
        List<Part> links,
        List<Marked> marks,
        List<Line> happenings,
        List<Fault> faults,
        Tallies tallies) {
    public Snapshot {
        recorders = List.copyOf(recorders);
        pedals = List.copyOf(pedals);
        links = List.copyOf(links);
        marks = List.copyOf(marks);
        happenings = List.copyOf(happenings);
        faults = List.copyOf(faults);
    }

    /**
     * The angle that should be on air.
     *
     * @param angle empty: none yet
     * @param words what gear says of it; may be empty
     * @param doubt why it may not be on air; empty if nothing speaks against it
     */
    public record OnAir(String angle, String words, String doubt) {}

    /**
     * The latest take.
     *
     * @param number 0: there was none
     * @param began the instant of its first frame
     * @param ended the instant of the first frame after it; only if it is not open
     */
    public record Take(long number, boolean open, long began, long ended) {
        /** Before the first one. */
        public static final Take NONE = new Take(0, false, 0, 0);

        /** How long it has gone on at an instant, or went on at all. */
        long lasted(long now) {
            return Math.max(0, (open ? now : ended) - began);
        }
    }

    /**
     * A piece of gear and how it is with it.
     *
     * @param fine whether nobody needs to look at it
     * @param latency how quickly it was told what it was told last, in words; empty: not known
     */
    public record Part(String name, String words, boolean fine, String latency) {}

    /** A pedal unit; {@code words} is empty where nothing is known of its device. */
    public record Pedal(String name, String words, boolean fine, List<Contact> contacts) {
        public Pedal {
            contacts = List.copyOf(contacts);
        }
    }

    /** One contact of a pedal unit. */
    public record Contact(String name, boolean closed) {}

    /** A mark, with the label at which it stands. */
    public record Marked(String label, String text) {}

    /** A line of the event log; numbers count on. */
    public record Line(long number, String text) {}

    /**
     * Something that is wrong.
     *
     * @param number another one for each time that it happened, but not for what still stands
     * @param what is wrong, short
     * @param why or what to do; may be empty
     * @param label when it last happened or since when it stands, in timecode
     * @param stands whether it goes on; else it has happened, and nobody knows more
     * @param times how often it happened
     */
    public record Fault(long number, String what, String why, String label, boolean stands, long times) {
        /** All of it in a sentence. */
        String sentence() {
            return why.isEmpty() ? what : what + ": " + why;
        }
    }
}
