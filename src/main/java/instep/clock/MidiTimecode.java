package instep.clock;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.Arrays;
import java.util.Optional;

/**
 * Reads MIDI timecode (MIDI 1.0 Detailed Specification, MIDI Time Code): a quarter-frame message comes four times in a frame, each with one of eight pieces of a label. So a label is known only
 * after two frames, and it is that of the frame in which its first piece was sent. Pieces that come in the order 7 to 0 say that the player runs backwards, which is not followed.
 *
 * <p>The specification counts 24, 25 or 30 frames. At rates above that, as in linear timecode, a label stands for two frames. Not thread-safe.
 */
public final class MidiTimecode {
    private static final int PIECES = 8;
    private static final int QUARTERS = 4;
    /** Frames of a word: its pieces are two frames long. */
    private static final int FRAMES = 2;
    /** Words that have to count on before they are believed; of the first of them, the last {@link #AHEAD} pieces are enough. */
    private static final int LOCK_WORDS = 2;

    private static final int AHEAD = 4;
    /** Words that may be missing before it is said: one of which a message was lost is no reason. With that and the lock, nothing takes longer than ten frames above 30 a second, where a word lasts for four. */
    private static final double QUIET_WORDS = 2.25;
    /** A player that is so far off the line has been moved. */
    private static final int FAR_FRAMES = 4;

    private final Chase chase;
    private final FrameRate rate;
    private final int pairs;
    private final WordRun run;
    private final double quarterRate;
    private final int[] pieces = new int[PIECES];
    /** Those of the word before, as far as they have come. */
    private final int[] before = new int[PIECES];

    private SampleClock clock;
    private long quarters;
    private int last = -1;
    private int collected;
    private int backwards;
    private long arrived;

    /** One that has heard nothing. */
    public MidiTimecode(Chase chase) {
        this.chase = chase;
        rate = chase.rate();
        pairs = rate.counted() > 30 ? 2 : 1;
        run = new WordRun(chase, FRAMES * pairs, LOCK_WORDS, QUIET_WORDS);
        quarterRate = 1e9 * QUARTERS / (pairs * chase.frameNanos());
        clock = new SampleClock(quarterRate);
    }

    /**
     * A quarter-frame message has come in.
     *
     * @param data its one byte: the number of the piece in bits 4 to 6, and four bits of the label
     */
    public void quarterFrame(int data, long nanos) {
        int piece = data >>> 4 & 7;
        boolean goesOn = last >= 0 && piece == (last + 1) % PIECES && isInTime(nanos);
        boolean goesBack = last >= 0 && piece == (last + PIECES - 1) % PIECES;
        last = piece;
        arrived = nanos;
        backwards = goesBack ? backwards + 1 : 0;
        if (backwards == PIECES) {
            backwards = 0;
            chase.complain("backwards", "it runs backwards, which is not followed");
        }
        if (!goesOn) {
            begin();
        }
        clock.arrived(++quarters, nanos);
        if (piece == 0) {
            System.arraycopy(pieces, 0, before, 0, PIECES);
        }
        pieces[piece] = data & 15;
        collected = piece == 0 ? 1 : collected == piece ? piece + 1 : 0;
        if (collected == PIECES) {
            whole();
        }
        advanceTo(nanos);
    }

    /** A message may wait for others on the wire, but not until the next frame. */
    private boolean isInTime(long nanos) {
        return nanos - arrived < run.wordNanos();
    }

    /** What comes now does not go on from what came before. */
    private void begin() {
        clock = new SampleClock(quarterRate);
        quarters = 0;
        collected = 0;
        run.breakOff();
    }

    private void whole() {
        int hours = pieces[6] | (pieces[7] & 1) << 4;
        int minutes = pieces[4] | (pieces[5] & 3) << 4;
        int seconds = pieces[2] | (pieces[3] & 3) << 4;
        int frames = pieces[0] | (pieces[1] & 1) << 4;
        Optional<Timecode> label = label(pieces[7] >>> 1 & 3, hours, minutes, seconds, frames);
        if (label.isEmpty()) {
            run.breakOff();
            return;
        }
        long begins = clock.nanosAt((double) quarters - PIECES + 1);
        long ends = clock.nanosAt((double) quarters + 1);
        Timecode previous = label.get().plus(-FRAMES * (long) pairs);
        if (run.isBroken() && followsOn(previous)) {
            run.count(previous, clock.nanosAt((double) quarters - 2 * PIECES + 1));
        }
        run.count(label.get(), begins);
        run.place(label.get().frame(), begins, ends, true);
    }

    /** Whether enough of that label came before the word that is whole now. */
    private boolean followsOn(Timecode previous) {
        int first = PIECES - (int) Math.min(PIECES, quarters - PIECES);
        int[] sent = pieces(previous);
        return first <= PIECES - AHEAD && Arrays.equals(before, first, PIECES, sent, first, PIECES);
    }

    private int[] pieces(Timecode label) {
        String text = label.toString();
        int hours = Integer.parseInt(text, 0, 2, 10) | code(rate) << 5;
        int minutes = Integer.parseInt(text, 3, 5, 10);
        int seconds = Integer.parseInt(text, 6, 8, 10);
        int frames = Integer.parseInt(text, 9, 11, 10) / pairs;
        return new int[] {
            frames & 15, frames >> 4, seconds & 15, seconds >> 4, minutes & 15, minutes >> 4, hours & 15, hours >> 4
        };
    }

    /**
     * A full message has come in: the player stands there, or is being wound. If that is elsewhere, timecode goes on by itself until it plays again.
     *
     * @param hours with the code of the rate in bits 5 and 6, as it is sent
     */
    public void fullFrame(int hours, int minutes, int seconds, int frames, long nanos) {
        Optional<Timecode> label = label(hours >>> 5 & 3, hours & 31, minutes & 63, seconds & 63, frames & 31);
        last = -1;
        begin();
        if (label.isPresent()) {
            long frame = chase.nearest(label.get().frame(), nanos);
            long off = Math.round(FAR_FRAMES * pairs * chase.frameNanos());
            if (!chase.isNear(frame, nanos, off)) {
                run.silent(nanos);
            }
        }
        advanceTo(nanos);
    }

    private Optional<Timecode> label(int code, int hours, int minutes, int seconds, int frames) {
        if (code != code(rate)) {
            String counts = "it counts " + words(code) + " frames a second";
            chase.complain(counts, counts + ", and the configuration says " + rate.label());
            return Optional.empty();
        }
        return Labels.of(rate, hours, minutes, seconds, frames * pairs);
    }

    /** The two bits by which the rate is sent. Real rates that lie a thousandth below are sent as the whole number. */
    private static int code(FrameRate rate) {
        return switch (rate) {
            case R23_976, R24, R47_952, R48 -> 0;
            case R25, R50 -> 1;
            case R29_97_DROP, R59_94_DROP -> 2;
            case R29_97, R30, R59_94, R60 -> 3;
        };
    }

    private static String words(int code) {
        return switch (code) {
            case 0 -> "24";
            case 1 -> "25";
            case 2 -> "30 drop-frame";
            default -> "30";
        };
    }

    /** The device has gone, and what it was sending. */
    public void ended(long nanos) {
        last = -1;
        begin();
        run.silent(nanos);
    }

    /** Tells what is due until that instant. */
    public void advanceTo(long nanos) {
        run.heardUntil(nanos);
        chase.advanceTo(nanos);
    }

    /** When {@link #advanceTo} has something to do, if nothing arrives before; {@link Long#MAX_VALUE}: never. */
    public long nextDeadline() {
        return chase.isLocked() ? chase.nextSilence(run.quietNanos()) : chase.nextDeadline();
    }
}
