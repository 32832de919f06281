package instep.daemon;

import instep.config.Settings;
import instep.journal.Happening;
import java.util.List;
import java.util.Optional;
import java.util.function.BiConsumer;

/** What gear says: it is written down, its timecode goes to who follows it, and what the mapping takes from it has a turn of its own. Loop thread only. */
final class Hearing {
    /** Whether what gear has said counts here, or is left to another desk, or to nobody. */
    @FunctionalInterface
    interface Here {
        boolean isFor(int gear, BiConsumer<GearDesk, Integer> elsewhere);
    }

    private final Settings settings;
    private final Chronicle chronicle;
    private final Turns turns;
    private final Clockwork clock;
    private final Chatter chatter;
    private final Talkback talkback;
    private final GearTimecode timecode;
    private final Here here;

    Hearing(Settings settings, Chronicle chronicle, Turns turns, Talkback talkback, GearTimecode timecode, Here here) {
        this.settings = settings;
        this.chronicle = chronicle;
        this.turns = turns;
        this.clock = turns.clock();
        this.chatter = new Chatter(settings.gear().size());
        this.talkback = talkback;
        this.timecode = timecode;
        this.here = here;
    }

    void reply(int gear, long answered, String text, long nanos) {
        List<Ears.Heard> heard = talkback.look(gear, text);
        Optional<String> label = label(gear, heard, nanos);
        long at = clock.timeOf(nanos);
        if (decides(heard)) {
            heed(gear, answered, text, nanos, heard);
            return;
        }
        String name = settings.gear().get(gear).name();
        if (label.isPresent()) {
            if (timecode.isWritten(gear, nanos)) {
                chronicle.note(at, Happening.reply(name, text, answered, label.get()));
            }
        } else {
            chatter.heard(gear, nanos).ifPresent(omitted -> chronicle.note(at, Happening.fault(name + omitted)));
            if (chatter.isWritten(gear)) {
                chronicle.note(at, Happening.reply(name, text, answered));
            }
        }
        talkback.tellTrouble(at);
        turns.flushUnlessBusy();
    }

    void answer(int gear, long answered, String body, long nanos) {
        List<Ears.Heard> heard = talkback.look(gear, body);
        Optional<String> label = label(gear, heard, nanos);
        if (decides(heard)) {
            // Timecode moves on, which by itself is no news.
            String said = label.map(moving -> body.replace(moving, "")).orElse(body);
            if (answered >= 0 || !talkback.isOld(gear, said)) {
                heed(gear, answered, body, nanos, heard);
            }
        } else if (label.isPresent() && timecode.isWritten(gear, nanos)) {
            String name = settings.gear().get(gear).name();
            chronicle.note(clock.timeOf(nanos), Happening.reply(name, body, answered, label.get()));
            turns.flushUnlessBusy();
        }
    }

    private static boolean decides(List<Ears.Heard> heard) {
        return heard.stream().anyMatch(one -> !one.pattern().isOnlyTimecode());
    }

    /** The timecode in what it says goes to who follows it, at once: nothing is decided by it alone. */
    private Optional<String> label(int gear, List<Ears.Heard> heard, long nanos) {
        Optional<String> label = timecode.label(heard);
        label.flatMap(said -> timecode.heard(gear, said, nanos))
                .ifPresent(fault -> chronicle.note(clock.timeOf(nanos), fault));
        return label;
    }

    /**
     * A reply that counts waits for its turn behind the devices that are ready, and the timers that are due, at the same time: when the loop has been held
     * up, a mixer's answer to a press must not come before the bounces of that press.
     */
    private void heed(int gear, long answered, String text, long nanos, List<Ears.Heard> heard) {
        clock.later(() -> clock.later(() -> heedNow(gear, answered, text, nanos, heard)));
    }

    /** Like an edge, it is written down first, and then all follows from the record. */
    private void heedNow(int gear, long answered, String text, long nanos, List<Ears.Heard> heard) {
        if (!here.isFor(gear, (other, number) -> other.reply(number, answered, text, nanos))) {
            return;
        }
        String name = settings.gear().get(gear).name();
        long at = clock.timeOf(nanos);
        long counts = turns.timedBeyond(at - clock.settle());
        turns.about(Stalls.Turn.REPLY, name, at);
        turns.beginSettled(at);
        String label = timecode.label(heard).orElse(null);
        long record = chronicle.note(at, Happening.heeded(name, text, answered, counts, label));
        turns.subject().about(name + ".says", record, turns.now());
        talkback.heed(gear, heard, record, at);
        turns.end();
    }
}
