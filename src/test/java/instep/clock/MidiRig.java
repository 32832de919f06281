package instep.clock;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.SplittableRandom;

/** A machine that sends MIDI timecode, whose messages arrive late by chance, in virtual time. It knows which frame it is on at every instant. */
final class MidiRig {
    private static final double LATE_NANOS = 1e6;
    private static final double HELD_UP_NANOS = 15e6;

    private final FrameRate rate;
    private final int pairs;
    private final double speed;
    private final SplittableRandom random;
    private final MidiTimecode midi;
    final HeardNews heard = new HeardNews();
    final Chase chase;

    private long frame;
    private long cued;
    private long quarters;
    private long arrived;
    private Verdict verdict = new Verdict();

    /** How labels have turned out against the truth. */
    static final class Verdict {
        long frames;
        long wrong;
        double worstNanos;
    }

    MidiRig(FrameRate rate, double fast, long seed) {
        this.rate = rate;
        speed = 1 + fast;
        pairs = rate.counted() > 30 ? 2 : 1;
        random = new SplittableRandom(seed);
        chase = new Chase(rate, 2_000_000_000L, 0, heard);
        midi = new MidiTimecode(chase);
    }

    /** Plays from that label on, from that instant on. */
    void play(Timecode from, long at) {
        play(from, at, 0);
    }

    /** The same, but what is sent first is that piece of the label. */
    void play(Timecode from, long at, int piece) {
        frame = from.frame();
        cued = 0;
        quarters = 0;
        cued = at - (long) begins(piece);
        quarters = piece;
    }

    /** When that quarter of a frame begins. */
    private double begins(long quarter) {
        return cued + quarter * pairs / 4.0 * rate.denominator() / rate.numerator() * 1e9 / speed;
    }

    /** Sends what is due until that instant, or until there is news. */
    void run(long until, boolean untilNews) {
        int told = heard.news.size();
        while (begins(quarters) < until && !(untilNews && heard.news.size() > told)) {
            long label = frame + quarters / 8 * 2 * pairs;
            Timecode word = Timecode.wrapped(rate, label);
            double sent = begins(quarters);
            double late =
                    -LATE_NANOS * Math.log(1 - random.nextDouble()) + (random.nextInt(500) == 0 ? HELD_UP_NANOS : 0);
            arrived = Math.max(arrived, (long) (sent + late));
            midi.advanceTo(Math.min(midi.nextDeadline(), arrived));
            midi.quarterFrame(MidiSignal.piece(word, (int) (quarters % 8)), arrived);
            quarters++;
            judge();
        }
    }

    private void judge() {
        if (chase.isLocked() && quarters % 4 == 0) {
            long truth = frame + quarters / 4 * pairs;
            double begin = begins(quarters);
            double middle = begin + chase.frameNanos() / 2;
            verdict.frames++;
            verdict.wrong += heard.line().at((long) middle).equals(Timecode.wrapped(rate, truth)) ? 0 : 1;
            long nearest = heard.line().frameAt((long) middle);
            verdict.worstNanos =
                    Math.max(verdict.worstNanos, Math.abs(heard.line().nanosAt(nearest) - begin));
        }
    }

    /** How far it is off the truth at worst since the last time this was asked. */
    Verdict verdict() {
        Verdict now = verdict;
        verdict = new Verdict();
        return now;
    }

    /** Nothing comes any more; returns how long it takes until that is told, in frames. */
    double stop() {
        double stopped = begins(quarters);
        long due = midi.nextDeadline();
        midi.advanceTo(due);
        return (due - stopped) / chase.frameNanos();
    }

    /** When the next message would be sent, in nanoseconds. */
    long now() {
        return (long) begins(quarters);
    }

    MidiTimecode midi() {
        return midi;
    }
}
