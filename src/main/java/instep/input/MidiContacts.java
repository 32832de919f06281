package instep.input;

import instep.input.PedalSettings.MidiContact;
import java.util.Arrays;
import java.util.List;

/** From MIDI messages to contacts; all are open at first. Allocates nothing after it is made. Not thread-safe. */
final class MidiContacts implements MidiMessages {
    private static final double LARGEST = 127;
    private static final int KIND = 0xf0;
    private static final int ALL_SOUND_OFF = 120;
    private static final int ALL_NOTES_OFF = 123;

    private final MidiContact[] contacts;
    private final Levels levels;
    private final int[] values;
    private final InputListener listener;

    MidiContacts(List<MidiContact> contacts, InputListener listener) {
        this.contacts = contacts.toArray(MidiContact[]::new);
        levels = new Levels(contacts.stream().mapToInt(MidiContact::contact), listener);
        values = new int[this.contacts.length];
        Arrays.fill(values, -1);
        this.listener = listener;
    }

    @Override
    public void message(int status, int first, int second, long nanos) {
        if (status == MidiParser.SYSTEM_RESET) {
            vanished(nanos);
            return;
        }
        int kind = status & KIND;
        int channel = (status & ~KIND) + 1;
        for (int i = 0; i < contacts.length; i++) {
            MidiContact contact = contacts[i];
            if (contact.channel() == PedalSettings.ANY_CHANNEL || contact.channel() == channel) {
                take(i, kind, first, second, nanos);
            }
        }
    }

    private void take(int i, int kind, int first, int second, long nanos) {
        boolean mine = contacts[i].number() == first;
        switch (contacts[i].signal()) {
            case NOTE -> {
                if (mine && (kind == MidiParser.NOTE_ON || kind == MidiParser.NOTE_OFF)) {
                    levels.set(i, kind == MidiParser.NOTE_ON, false, nanos);
                } else if (kind == MidiParser.CONTROL_CHANGE && endsNotes(first)) {
                    levels.set(i, false, false, nanos);
                }
            }
            case CONTROLLER -> {
                if (mine && kind == MidiParser.CONTROL_CHANGE) {
                    controller(i, second, nanos);
                }
            }
            case PROGRAM -> {
                if (mine && kind == MidiParser.PROGRAM_CHANGE) {
                    levels.set(i, true, false, nanos);
                    levels.set(i, false, false, nanos);
                }
            }
        }
    }

    private static boolean endsNotes(int controller) {
        return controller == ALL_SOUND_OFF || controller >= ALL_NOTES_OFF;
    }

    private void controller(int i, int value, long nanos) {
        double share = value / LARGEST;
        levels.set(i, contacts[i].threshold().closed(levels.isClosed(i), share), false, nanos);
        if (contacts[i].moves() != null && values[i] != value) {
            values[i] = value;
            listener.moved(contacts[i].contact(), share, nanos);
        }
    }

    /** Opens all that is closed: nothing is known of the device any more. */
    @Override
    public void vanished(long nanos) {
        levels.vanished(nanos);
    }
}
