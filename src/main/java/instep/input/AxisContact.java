package instep.input;

import java.util.Optional;

/** One contact that is an axis beyond a threshold. */
final class AxisContact {
    private final PedalSettings.Axis axis;
    private final InputListener listener;
    private int minimum;
    private int maximum;
    private boolean closed;
    /** Closed since before the device was opened: not pressed for us, until it has been released. */
    private boolean heldBefore;

    AxisContact(PedalSettings.Axis axis, InputListener listener) {
        this.axis = axis;
        this.listener = listener;
    }

    int code() {
        return axis.code();
    }

    /** Notes the range of the device, and where the axis stands before it is first moved. */
    void begin(int value, int lowest, int highest) {
        minimum = lowest;
        maximum = highest;
        heldBefore = hasRange() && axis.threshold().closed(false, share(value));
    }

    /** For a person: why it does not count, if so. */
    Optional<String> remark() {
        String name = CodeNames.AXES.name(axis.code());
        if (!hasRange()) {
            return Optional.of("the device gives no range for " + name + ", so that it cannot be a contact");
        }
        return heldBefore
                ? Optional.of(name + " is beyond its threshold already and counts from when it is next pressed")
                : Optional.empty();
    }

    void moved(int value, long nanos) {
        if (!hasRange()) {
            return;
        }
        double share = share(value);
        boolean now = axis.threshold().closed(closed || heldBefore, share);
        heldBefore &= now;
        if (now != closed && !heldBefore) {
            closed = now;
            listener.edge(axis.contact(), now, false, nanos);
        }
        if (axis.moves() != null) {
            listener.moved(axis.contact(), share, nanos);
        }
    }

    /** The device is gone. */
    void vanished(long nanos) {
        if (closed) {
            closed = false;
            listener.edge(axis.contact(), false, true, nanos);
        }
    }

    private boolean hasRange() {
        return minimum != maximum;
    }

    /** From 0 at the minimum, which may be the greater number, to 1; a value beyond the range counts as its end. */
    private double share(int value) {
        double share = ((double) value - minimum) / ((double) maximum - minimum);
        return Math.min(1, Math.max(0, share));
    }
}
