package instep.daemon;

import instep.config.Settings;
import instep.gear.Crew;
import instep.gesture.Contact;
import instep.input.InputListener;
import instep.journal.Happening;
import instep.machine.Values;
import java.util.BitSet;
import java.util.Locale;

/**
 * What feet do: each edge is noted and told to the machine in a turn of its own, positions go to the gear, and which pedal units are there is known. The wire comes first: what is
 * noted on the way is only put into a queue, and the queue's reader is woken at the end of the turn. Loop thread only.
 */
public final class PedalDesk implements InputListener {
    private final Settings settings;
    private final Chronicle chronicle;
    private final Turns turns;
    private final Subject subject;
    private final MachineDesk machine;
    private final Crew crew;
    private final Glides glides;
    /** What records say, put together beforehand. */
    private final String[] contactNames;

    private final BitSet up = new BitSet();

    PedalDesk(Settings settings, Chronicle chronicle, Turns turns, MachineDesk machine, Crew crew) {
        this.settings = settings;
        this.chronicle = chronicle;
        this.turns = turns;
        subject = turns.subject();
        this.machine = machine;
        this.crew = crew;
        glides = new Glides(settings.pedals(), this::position);
        // Where a pedal stands goes out before what is decided at the same instant.
        turns.addFirst(glides::nextDeadline, glides::advanceTo);
        contactNames = settings.contacts().stream().map(Contact::fullName).toArray(String[]::new);
    }

    /** Goes on where another was, with pedal units and contacts that are in part the same. */
    void goOnFrom(PedalDesk other, Kept kept) {
        subject.goOnFrom(other.subject, kept.contacts());
        for (int pedal = 0; pedal < kept.pedals().length; pedal++) {
            up.set(pedal, kept.pedals()[pedal] >= 0 && other.up.get(kept.pedals()[pedal]));
        }
    }

    /** Whether that pedal unit is read. */
    boolean isUp(int pedal) {
        return up.get(pedal);
    }

    int countUp() {
        return up.cardinality();
    }

    @Override
    public void edge(int contact, boolean closed, boolean lost, long nanos) {
        turns.about(Stalls.Turn.EDGE, contactNames[contact], nanos);
        touched(contact, closed, lost, nanos, turns.begin(nanos));
        turns.end();
    }

    /** Lets edges come from a player, too: each when it is due, in whichever turn comes first after it. */
    public void listenTo(Player player) {
        turns.add(player::nextDeadline, due -> player.advanceTo(due, this::played));
    }

    private void played(String contact, boolean closed, long due) {
        settings.contact(contact).ifPresent(known -> touched(known, closed, false, due, turns.now()));
    }

    private void touched(int contact, boolean closed, boolean lost, long nanos, long counts) {
        long record = chronicle.note(
                nanos, Happening.lateEdge(contactNames[contact], closed, lost, counts == nanos ? -1 : counts));
        subject.edge(contact, counts, record);
        machine.edge(contact, closed, lost, counts);
    }

    @Override
    public void moved(int contact, double share, long nanos) {
        turns.about(Stalls.Turn.POSITION, contactNames[contact], nanos);
        turns.beginAside();
        glides.moved(contact, share, nanos);
        turns.end();
    }

    private void position(int contact, int message, String text, long at) {
        long record = chronicle.note(at, Happening.position(contactNames[contact], text));
        subject.issue(record, at);
        Values values = machine.running();
        crew.send(settings.messages().get(message), name -> name.equals("value") ? text : values.value(name), record);
    }

    @Override
    public void oddity(int pedal, String sentence, long nanos) {
        turns.beginAside();
        chronicle.note(nanos, Happening.fault(sentence));
        turns.end();
    }

    @Override
    public void device(int pedal, DeviceState state, String detail, long nanos) {
        String name = settings.pedals().get(pedal).name();
        // Not before what was decided meanwhile, so that it is found again in this order.
        long decided = turns.timedBeyond(nanos - turns.clock().settle());
        long noticed = decided < 0 ? nanos : decided + turns.clock().settle();
        turns.about(Stalls.Turn.DEVICE, name, Long.MIN_VALUE);
        long at = turns.beginSettled(noticed);
        long record =
                chronicle.note(noticed, Happening.device(name, state.name().toLowerCase(Locale.ROOT), detail));
        boolean was = up.get(pedal);
        up.set(pedal, state == DeviceState.UP);
        if (state == DeviceState.UP) {
            machine.raise(name + ".up", record);
        } else if (was) {
            subject.about(name + ".lost", record, at);
            machine.pedalLost(name, at);
        }
        turns.end();
    }
}
