package instep.input;

/**
 * Where what one pedal unit does is told: the listener of the day and the numbers under which that one knows the unit and its contacts. They change when another
 * configuration comes into force, while the device stays open. Loop thread only.
 */
final class Seat implements InputListener {
    private final int first;
    private InputListener listener;
    private int pedal;
    private int shift;

    Seat(PedalSettings settings, int pedal, InputListener listener) {
        first = SamePedal.first(settings);
        this.pedal = pedal;
        this.listener = listener;
    }

    int pedal() {
        return pedal;
    }

    /** Whether it has been moved to that listener already. */
    boolean isMovedTo(InputListener other) {
        return listener == other;
    }

    /** From now on to that listener, as the pedal unit of that number, whose settings are the same but for the numbers of contacts. */
    void move(PedalSettings settings, int number, InputListener other) {
        pedal = number;
        shift = SamePedal.first(settings) - first;
        listener = other;
    }

    @Override
    public void edge(int contact, boolean closed, boolean lost, long nanos) {
        listener.edge(contact + shift, closed, lost, nanos);
    }

    @Override
    public void moved(int contact, double share, long nanos) {
        listener.moved(contact + shift, share, nanos);
    }

    @Override
    public void device(int number, DeviceState state, String detail, long nanos) {
        listener.device(pedal, state, detail, nanos);
    }

    @Override
    public void oddity(int number, String sentence, long nanos) {
        listener.oddity(pedal, sentence, nanos);
    }
}
