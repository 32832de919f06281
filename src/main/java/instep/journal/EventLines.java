package instep.journal;

import instep.time.Durations;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.function.Consumer;

/**
 * Turns records into lines for a person who follows the log during a take: timecode, take, a mark {@code !!} before what needs attention, a
 * word, and what happened. All columns stand at fixed places and a line has under 100 of them.
 *
 * <pre>
 * 10:00:12:07  take 1      CUT     wide -> wheel             by floor.left press
 * 10:00:12:07  take 1      SENT    mixer  CUT 2              in 0.4 ms
 * 10:00:14:02  take 1   !! MISSED  mixer  CUT 1: the link was down for longer than 300 ms
 * </pre>
 *
 * <p>Raw edges, positions, gestures and detours make no line unless everything is asked for; what they caused names them. Not thread-safe.
 */
public final class EventLines {
    /** What begins in these columns of a reply is not cut off. */
    private static final int SEEN = 40;

    private final FrameRate rate;
    private final EventColumns columns;
    private final boolean everything;
    private final Causes causes = new Causes();
    private String take = "-";
    private long takeOpened;
    private long takeOpenedAt;
    /** Timecode may have gone elsewhere within the take. */
    private boolean isMoved;
    /** It has been said that nobody keeps the clock right. */
    private boolean isClockTold;

    /** Of the record that is shown. */
    private long frame;

    private boolean shown = true;

    EventLines(FrameRate rate, Consumer<String> out) {
        this(rate, false, out);
    }

    /** Lines for {@code out}; {@code everything}: one for each record. */
    public EventLines(FrameRate rate, boolean everything, Consumer<String> out) {
        this.rate = rate;
        this.everything = everything;
        columns = new EventColumns(out);
    }

    /** Takes note of a record that is not shown, but that others may name as their cause. */
    public void pass(Entry entry) {
        shown = false;
        show(entry);
        shown = true;
    }

    /** Hands over the lines of a record that was read back. */
    public void show(Entry entry) {
        long frame = entry.number(Key.FRAME)
                .orElseGet(() -> Timecode.parse(entry.tc(), rate).frame());
        show(new Pending(entry.seq(), entry.mono(), frame, Happening.of(entry)));
    }

    /** Hands over the lines of a record: none, one, or several for a long fault. */
    void show(Pending record) {
        frame = record.frame();
        Happening what = record.what();
        switch (what.kind()) {
            case START -> start(what);
            case CONFIG -> config(what);
            case EDGE -> edge(record);
            case POSITION -> position(record);
            case GESTURE -> gesture(record);
            case TRANSITION -> transition(record);
            case CUT -> plain("CUT", causes.traced(change(what.text(Key.FROM), what.text(Key.ANGLE)), what));
            case CONFIRMED -> plain("ONAIR", confirmed(what));
            case TAKE_OPEN -> takeOpen(record);
            case TAKE_CLOSE -> takeClose(record);
            case MARK -> plain("MARK", causes.traced(join(what.text(Key.MARK), quoted(what.text(Key.TEXT))), what));
            case SENT -> plain("SENT", sent(what));
            case REPLY -> reply(record);
            case MISSED -> urgent("MISSED", join(what.text(Key.GEAR), what.text(Key.WHAT) + ": " + what.text(Key.WHY)));
            case LINK -> state("LINK", what.text(Key.GEAR), what.text(Key.STATE), what.text(Key.WHY));
            case DEVICE -> state("PEDAL", what.text(Key.PEDAL), what.text(Key.STATE), what.text(Key.DETAIL));
            case SYNC -> sync(record);
            case FAULT -> fault(join(what.text(Key.GEAR), what.text(Key.TEXT)));
            case NOTE -> whole("NOTE", what.text(Key.TEXT));
            case STANDING -> standing(what);
            case STOP -> plain("STOP", what.text(Key.WHY));
        }
    }

    private void config(Happening what) {
        String file = what.text(Key.FILE);
        String change = what.text(Key.CHANGE);
        if (change.isEmpty()) {
            plain("CONFIG", file + " is in force, sha-256 " + shortHash(what));
        } else {
            whole("CONFIG", "reloaded " + file + ": " + change);
        }
    }

    /** Where the machine stands follows from what has lines of its own. */
    private void standing(Happening what) {
        if (everything) {
            plain("STANDS", "in " + what.text(Key.ACTIVE));
            what.text(Key.ASKED).lines().forEach(line -> plain("STANDS", line));
        }
    }

    /** A fault that no record tells, since it is the journal's own. */
    void fault(String text) {
        urgent("FAULT", text);
    }

    private void edge(Pending record) {
        Happening what = record.what();
        String contact = what.text(Key.CONTACT);
        causes.add(record.seq(), contact + (what.text(Key.CLOSED).equals("true") ? ".closed" : ".opened"));
        if (!what.text(Key.LOST).isEmpty()) {
            urgent("PEDAL", contact + " counts as released: it is not heard any more");
        } else if (everything) {
            plain("EDGE", contact + (what.text(Key.CLOSED).equals("true") ? " closed" : " opened"));
        }
    }

    /** What was sent of it has a line. */
    private void position(Pending record) {
        if (everything) {
            plain(
                    "MOVED",
                    record.what().text(Key.CONTACT) + " to " + record.what().text(Key.VALUE));
        }
    }

    private void gesture(Pending record) {
        String event = record.what().text(Key.EVENT);
        causes.add(record.seq(), event);
        if (everything) {
            plain("GESTURE", causes.traced(Causes.spoken(event), record.what()));
        }
    }

    /** A detour leaves the state as it is; the cut that it makes has a line of its own. */
    private void transition(Pending record) {
        Happening what = record.what();
        String event = what.text(Key.EVENT);
        causes.add(record.seq(), event);
        String from = what.text(Key.FROM);
        String to = what.text(Key.TO);
        if (!from.equals(to)) {
            plain("STATE", Causes.by(from + " -> " + to, event));
        } else if (everything) {
            String stays = what.text(Key.RETURNING).isEmpty() ? "stays" : "returns";
            plain("STATE", Causes.by(from + " " + stays, event));
        }
    }

    /** The small steps in which timecode follows another clock have no line. */
    private void sync(Pending record) {
        SyncWords words = new SyncWords(record.what());
        isMoved |= words.isElsewhere();
        causes.add(record.seq(), "timecode." + words.state());
        if (words.isUrgent()) {
            urgent("SYNC", words.text(label()));
        } else if (!words.isSmallStep() || everything) {
            plain("SYNC", words.text(label()));
        }
        if (!isClockTold && words.isUnsynchronized()) {
            isClockTold = true;
            urgent("SYNC", "no time server keeps this machine's clock right: see timedatectl");
        }
    }

    private void start(Happening what) {
        isClockTold = false;
        plain("START", "instep " + what.text(Key.VERSION) + " with " + what.text(Key.FILE));
    }

    private void reply(Pending record) {
        Happening what = record.what();
        if (!what.text(Key.HEEDED).isEmpty()) {
            causes.add(record.seq(), what.text(Key.GEAR) + ".says");
        }
        String timecode = what.text(Key.TIMECODE);
        String text = what.text(Key.TEXT);
        boolean isSeen = text.indexOf(timecode) < SEEN;
        plain("REPLY", join(what.text(Key.GEAR), isSeen ? text : timecode + " in " + text));
    }

    private static String confirmed(Happening what) {
        long micros = what.number(Key.LATENCY_US);
        String after = micros < 0 ? "" : ", after " + millis(micros);
        return EventColumns.beside(what.text(Key.ANGLE), "says " + what.text(Key.GEAR) + after);
    }

    private void takeOpen(Pending record) {
        long lasted = Math.max(0, record.what().number(Key.LASTED));
        take = "take " + record.what().text(Key.TAKE);
        takeOpened = record.frame() - lasted;
        takeOpenedAt = record.mono() - rate.nanosAt(lasted);
        isMoved = false;
        plain("TAKE", record.what().text(Key.RESUMED).isEmpty() ? "begins" : "goes on");
    }

    private void takeClose(Pending record) {
        long frames = isMoved ? rate.frameAt(record.mono() - takeOpenedAt) : record.frame() - takeOpened;
        plain("TAKE", "ends after " + Durations.ofFrames(frames, rate));
        take = "-";
    }

    private void state(String word, String who, String state, String why) {
        String text = join(who, why.isEmpty() ? state : state + ": " + why);
        if (state.equals("up")) {
            plain(word, text);
        } else {
            urgent(word, text);
        }
    }

    private static String sent(Happening what) {
        String text = join(what.text(Key.GEAR), what.text(Key.WHAT));
        long micros = what.number(Key.LATENCY_US);
        return micros < 0 ? text : EventColumns.beside(text, "in " + millis(micros));
    }

    /** To a tenth. A formatter would cost more than all the rest of such a line. */
    private static String millis(long micros) {
        long tenths = (micros + 50) / 100;
        return tenths / 10 + "." + tenths % 10 + " ms";
    }

    private static String change(String from, String to) {
        return from.isEmpty() ? to : from + " -> " + to;
    }

    private static String join(String first, String second) {
        return first.isEmpty() || second.isEmpty() ? first + second : first + "  " + second;
    }

    private static String quoted(String text) {
        return text.isEmpty() ? "" : '"' + text + '"';
    }

    private static String shortHash(Happening what) {
        String hash = what.text(Key.SHA256);
        return hash.substring(0, Math.min(12, hash.length()));
    }

    private String label() {
        return Timecode.wrapped(rate, frame).toString();
    }

    private String when() {
        return label() + "  " + take;
    }

    private void plain(String word, String text) {
        if (shown) {
            columns.plain(when(), word, text);
        }
    }

    private void whole(String word, String text) {
        if (shown) {
            columns.whole(when(), word, text);
        }
    }

    private void urgent(String word, String text) {
        if (shown) {
            columns.urgent(when(), word, text);
        }
    }
}
