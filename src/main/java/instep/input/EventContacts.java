package instep.input;

import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;

/**
 * From the keys, axes and wheels of one device to the contacts that they are. Axes and keys that are closed before it begins count from when
 * they are next pressed. Allocates nothing after it is made. Not thread-safe.
 */
final class EventContacts implements EvdevDecoder.Signals {
    /** What one event may turn a wheel by; what is more comes from no hand. */
    private static final int MOST_DETENTS = 64;

    private final int[] keys = new int[EvdevDecoder.KEYS];
    private final List<PedalSettings.Key> named;
    private final AxisContact[] axes;
    private final PedalSettings.WheelStep[] steps;
    private final InputListener listener;
    private final EvdevDecoder.State state;
    private final int[] position = new int[3];
    /** When the device was last asked where its axes stand: of what is stamped before that it has told the end. */
    private long asked = Long.MIN_VALUE;

    EventContacts(PedalSettings.Events pedal, InputListener listener, EvdevDecoder.State state) {
        Arrays.fill(keys, -1);
        named = pedal.keys();
        named.forEach(key -> keys[key.code()] = key.contact());
        steps = pedal.steps().toArray(PedalSettings.WheelStep[]::new);
        axes = pedal.axes().stream()
                .map(axis -> new AxisContact(axis, listener))
                .toArray(AxisContact[]::new);
        this.listener = listener;
        this.state = state;
        ask();
        for (AxisContact axis : axes) {
            if (state.axis(axis.code(), position)) {
                axis.begin(position[0], position[1], position[2]);
            }
        }
    }

    /**
     * For a person: each contact that is stuck, stood on, or will never close.
     *
     * @param down the keys that are down
     */
    List<String> remarks(long[] down) {
        Stream<String> pressed = named.stream()
                .filter(key -> (down[key.code() / Long.SIZE] >>> key.code() & 1) != 0)
                .map(key ->
                        CodeNames.KEYS.name(key.code()) + " is down already and counts from when it is next pressed");
        return Stream.concat(pressed, Arrays.stream(axes).flatMap(axis -> axis.remark().stream()))
                .toList();
    }

    @Override
    public void key(int code, boolean closed, boolean lost, long nanos) {
        if (keys[code] >= 0) {
            listener.edge(keys[code], closed, lost, nanos);
        }
    }

    @Override
    public void axis(int code, int value, long nanos) {
        if (nanos < asked) {
            return;
        }
        for (AxisContact axis : axes) {
            if (axis.code() == code) {
                axis.moved(value, nanos);
            }
        }
    }

    @Override
    public void wheel(int code, int by, long nanos) {
        int detents = by == Integer.MIN_VALUE ? MOST_DETENTS : Math.min(Math.abs(by), MOST_DETENTS);
        for (PedalSettings.WheelStep step : steps) {
            if (step.code() == code && step.up() == by > 0) {
                for (int i = 0; i < detents; i++) {
                    listener.edge(step.contact(), true, false, nanos);
                    listener.edge(step.contact(), false, false, nanos);
                }
            }
        }
    }

    @Override
    public void axesUnknown(long nanos) {
        ask();
        for (AxisContact axis : axes) {
            if (state.axis(axis.code(), position)) {
                axis.moved(position[0], nanos);
            }
        }
    }

    @Override
    public void vanished(long nanos) {
        for (AxisContact axis : axes) {
            axis.vanished(nanos);
        }
    }

    /** Stamps are cut to the microsecond. */
    private void ask() {
        long now = state.now();
        asked = now == Long.MIN_VALUE ? now : now - Math.floorMod(now, 1_000L);
    }
}
