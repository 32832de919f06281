package instep.daemon;

import java.util.Locale;
import java.util.function.Consumer;

/**
 * Notices when the loop stands still for longer than a cut may be late: in a turn, and then it is known which, or between two turns, which then begin late. Allocates nothing unless it
 * has something to tell, and tells no more than once a second. Loop thread only.
 */
final class Stalls {
    /** Longer than a frame at 24 frames a second. */
    static final long MOST_NANOS = 50_000_000L;

    private static final long PAUSE_NANOS = 1_000_000_000L;

    /** What a turn is about. */
    enum Turn {
        EDGE("an edge of "),
        POSITION("a position of "),
        DEVICE("the device of "),
        LINK("the link to "),
        REPLY("a reply of "),
        REFUSAL("a refusal of "),
        TIMECODE("timecode"),
        JOURNAL("the journal"),
        TIMER("a timer"),
        WATCHDOG("the watchdog"),
        RELOAD("another configuration");

        private final String words;

        Turn(String words) {
            this.words = words;
        }
    }

    private final Clockwork clock;
    private final Consumer<String> teller;
    private Turn turn = Turn.TIMER;
    private String name = "";
    private long began;
    private long late;
    private boolean isOpen;
    private long told;
    private boolean hasTold;

    Stalls(Clockwork clock, Consumer<String> teller) {
        this.clock = clock;
        this.teller = teller;
    }

    /**
     * A turn begins.
     *
     * @param expected the loop's time at which it should have begun at the latest; {@link Long#MIN_VALUE} if nobody can say
     */
    void begin(Turn about, String of, long expected) {
        turn = about;
        name = of;
        began = clock.reading();
        late = expected == Long.MIN_VALUE || began == 0 ? 0 : clock.lasted(clock.timeOf(began) - expected);
        isOpen = true;
    }

    /** It ends. */
    void end() {
        if (!isOpen) {
            return;
        }
        isOpen = false;
        long now = clock.reading();
        long took = now - began;
        if ((took > MOST_NANOS || late > MOST_NANOS) && (!hasTold || now - told > PAUSE_NANOS)) {
            hasTold = true;
            told = now;
            teller.accept(took > MOST_NANOS ? inTurn(took) : before());
        }
    }

    private String inTurn(long took) {
        return "Instep stood still for " + millis(took) + " in " + turn.words + name;
    }

    private String before() {
        return "Instep came " + millis(late) + " late to " + turn.words + name + ": this computer was busy or asleep";
    }

    private static String millis(long nanos) {
        return String.format(Locale.ROOT, "%d ms", nanos / 1_000_000);
    }
}
