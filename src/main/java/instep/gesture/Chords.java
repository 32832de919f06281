package instep.gesture;

import static instep.gesture.Recognizer.NEVER;

import java.util.Arrays;
import java.util.List;

/**
 * The second layer: contacts that close together become one. A closing is held back only while a chord of that contact is wanted and can still
 * come together, and at most for {@link #WINDOW}.
 *
 * <pre>
 * contact is   OPEN      nothing held
 *              WAITING   closed, held back for a chord
 *              SINGLE    closed for itself
 *              CHORDED   closed as a member of a chord; it opens without a word of its own
 *
 * C closing, O opening of the contact, w the window
 *
 * a C    b C             a+b closed at b; nothing of a or b
 * a C    w               a closed w later, begun at C
 * a C    O               a closed and opened at O
 * a C    b C    w        where a+b+c is wanted, too: a+b closed at w
 * a C    w      b C      a closed at w, b at once: a stands alone already
 * a+b    a O    b O      a+b opened at the first opening
 * </pre>
 */
final class Chords {
    /** How far apart the members may close: 60 ms, in nanoseconds. */
    static final long WINDOW = 60_000_000L;

    private enum Part {
        OPEN,
        WAITING,
        SINGLE,
        CHORDED
    }

    private final Tracker[] trackers;
    private final Recognizer.Wants wants;
    private final int[][] members;
    private final int[] firstGesture;
    private final int kinds = GestureKind.values().length;
    private final int chordsFrom;
    private final Part[] parts;
    private final long[] closedAt;

    Chords(Gestures gestures, Tracker[] trackers, Recognizer.Wants wants) {
        this.trackers = trackers;
        this.wants = wants;
        chordsFrom = gestures.contacts().size();
        List<Gestures.Chord> chords = gestures.chords();
        members = new int[chords.size()][];
        firstGesture = new int[chords.size()];
        for (int i = 0; i < members.length; i++) {
            members[i] =
                    chords.get(i).members().stream().mapToInt(Integer::intValue).toArray();
            firstGesture[i] = gestures.number(chordsFrom + i, GestureKind.PRESS);
        }
        parts = new Part[chordsFrom];
        Arrays.fill(parts, Part.OPEN);
        closedAt = new long[chordsFrom];
    }

    /** Goes on where another stands, with a contact of its own. */
    void goOnFrom(Chords other, int contact, int theirs) {
        parts[contact] = other.parts[theirs];
        closedAt[contact] = other.closedAt[theirs];
    }

    void closed(int contact, long began, long at) {
        parts[contact] = Part.WAITING;
        closedAt[contact] = began;
        if (!mayJoin(contact)) {
            decide(contact, at);
            return;
        }
        int complete = largestComplete(contact);
        // A larger chord may still come together: then the smaller one waits for the end of the window.
        if (complete >= 0 && !isPartOfLarger(complete)) {
            close(complete, at);
            decideHopeless(at);
        }
    }

    void opened(int contact, boolean lost, long began, long at) {
        if (parts[contact] == Part.WAITING) {
            decide(contact, at);
            decideHopeless(at);
        }
        Part part = parts[contact];
        parts[contact] = Part.OPEN;
        if (part == Part.SINGLE) {
            trackers[contact].opened(lost, began, at);
        } else if (part == Part.CHORDED) {
            openChordOf(contact, lost, began, at);
        }
    }

    /** Its device is gone: when it comes back, it begins anew. */
    void forget(int contact, long at) {
        trackers[contact].forget(at);
        for (int chord = 0; chord < members.length; chord++) {
            if (contains(members[chord], contact)) {
                trackers[chordsFrom + chord].forget(at);
            }
        }
    }

    long deadline() {
        int first = firstWaiting();
        return first < 0 ? NEVER : closedAt[first] + WINDOW;
    }

    void timedOut(long at) {
        decide(firstWaiting(), at);
        decideHopeless(at);
    }

    /** The waiting is over for that contact: the largest chord that came together, else it stands alone. */
    private void decide(int contact, long at) {
        int complete = largestComplete(contact);
        if (complete >= 0) {
            close(complete, at);
        } else {
            parts[contact] = Part.SINGLE;
            trackers[contact].closed(closedAt[contact], at);
        }
    }

    /** One that was waited for has closed for something else: those that waited for it need not wait on. */
    private void decideHopeless(long at) {
        for (int contact = firstHopeless(); contact >= 0; contact = firstHopeless()) {
            decide(contact, at);
        }
    }

    private void close(int chord, long at) {
        long began = Long.MAX_VALUE;
        for (int member : members[chord]) {
            parts[member] = Part.CHORDED;
            began = Math.min(began, closedAt[member]);
        }
        trackers[chordsFrom + chord].closed(began, at);
    }

    private void openChordOf(int contact, boolean lost, long began, long at) {
        for (int chord = 0; chord < members.length; chord++) {
            Tracker tracker = trackers[chordsFrom + chord];
            if (tracker.isClosed() && contains(members[chord], contact)) {
                tracker.opened(lost, began, at);
            }
        }
    }

    private int firstWaiting() {
        int first = -1;
        for (int contact = 0; contact < parts.length; contact++) {
            if (parts[contact] == Part.WAITING && (first < 0 || closedAt[contact] < closedAt[first])) {
                first = contact;
            }
        }
        return first;
    }

    private int firstHopeless() {
        int first = -1;
        for (int contact = 0; contact < parts.length; contact++) {
            if (parts[contact] == Part.WAITING
                    && !mayJoin(contact)
                    && (first < 0 || closedAt[contact] < closedAt[first])) {
                first = contact;
            }
        }
        return first;
    }

    /** Whether a chord is wanted of which that contact and all others are free to be members. */
    private boolean mayJoin(int contact) {
        for (int chord = 0; chord < members.length; chord++) {
            if (contains(members[chord], contact) && isPossible(chord)) {
                return true;
            }
        }
        return false;
    }

    private boolean isPossible(int chord) {
        for (int member : members[chord]) {
            if (parts[member] == Part.SINGLE || parts[member] == Part.CHORDED) {
                return false;
            }
        }
        return isWanted(chord);
    }

    private int largestComplete(int contact) {
        int best = -1;
        for (int chord = 0; chord < members.length; chord++) {
            if (contains(members[chord], contact) && isLarger(chord, best) && isComplete(chord) && isWanted(chord)) {
                best = chord;
            }
        }
        return best;
    }

    private boolean isPartOfLarger(int chord) {
        for (int other = 0; other < members.length; other++) {
            if (members[other].length > members[chord].length && containsAll(other, chord) && isPossible(other)) {
                return true;
            }
        }
        return false;
    }

    private boolean containsAll(int chord, int smaller) {
        for (int member : members[smaller]) {
            if (!contains(members[chord], member)) {
                return false;
            }
        }
        return true;
    }

    private boolean isLarger(int chord, int best) {
        return best < 0 || members[chord].length > members[best].length;
    }

    private boolean isComplete(int chord) {
        for (int member : members[chord]) {
            if (parts[member] != Part.WAITING) {
                return false;
            }
        }
        return true;
    }

    private boolean isWanted(int chord) {
        for (int kind = 0; kind < kinds; kind++) {
            if (wants.wants(firstGesture[chord] + kind)) {
                return true;
            }
        }
        return trackers[chordsFrom + chord].wantsNamedHold();
    }

    private static boolean contains(int[] members, int contact) {
        for (int member : members) {
            if (member == contact) {
                return true;
            }
        }
        return false;
    }
}
