package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gesture.Moves;
import instep.gesture.Scale;
import instep.gesture.Threshold;
import instep.input.PedalSettings.Axis;
import instep.input.PedalSettings.WheelStep;
import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;

/** Bytes of events in, edges and moves out: axes, hats and wheels. */
class EventContactsTest {
    // linux/input-event-codes.h
    private static final int EV_SYN = 0;
    private static final int EV_REL = 2;
    private static final int EV_ABS = 3;
    private static final int SYN_DROPPED = 3;
    private static final int ABS_Z = 2;
    private static final int ABS_HAT0X = 0x10;
    private static final int REL_DIAL = 7;
    private static final int REL_WHEEL = 8;

    private static final Threshold SWELL = new Threshold(0.6, 0.4);

    /** What the device says of its axes: value, minimum, maximum. */
    private final Map<Integer, int[]> axes = new HashMap<>(Map.of(ABS_Z, new int[] {0, 0, 255}));

    private final List<String> told = new ArrayList<>();
    private long clock = Long.MIN_VALUE;
    private final EvdevDecoder.State state = new EvdevDecoder.State() {
        @Override
        public boolean down(long[] keys) {
            return true;
        }

        @Override
        public boolean axis(int code, int[] position) {
            int[] known = axes.get(code);
            if (known != null) {
                System.arraycopy(known, 0, position, 0, position.length);
            }
            return known != null;
        }

        @Override
        public long now() {
            return clock;
        }
    };
    private final InputListener listener = new InputListener() {
        @Override
        public void edge(int contact, boolean closed, boolean lost, long nanos) {
            told.add(contact + (closed ? " closed " : lost ? " lost " : " open ") + nanos);
        }

        @Override
        public void moved(int contact, double share, long nanos) {
            told.add(contact + " at " + share + " " + nanos);
        }

        @Override
        public void device(int pedal, DeviceState state, String detail, long nanos) {
            throw new AssertionError("contacts know no devices");
        }
    };

    @Test
    void closesBeyondItsShareOfTheDevicesOwnRange() {
        EventReading pedal = pedal(axis(0, ABS_Z, SWELL));
        // 60% of 0 to 255 is 153, 40% is 102
        send(pedal, 1000, EV_ABS, ABS_Z, 153);
        send(pedal, 2000, EV_ABS, ABS_Z, 154);
        send(pedal, 3000, EV_ABS, ABS_Z, 255);
        send(pedal, 4000, EV_ABS, ABS_Z, 102);
        send(pedal, 5000, EV_ABS, ABS_Z, 101);
        assertThat(told).containsExactly("0 closed 2000", "0 open 5000");
    }

    @Test
    void oneAxisCanBeTwoStagesOfOnePedal() {
        EventReading pedal = pedal(axis(0, ABS_Z, new Threshold(0.3, 0.2)), axis(1, ABS_Z, new Threshold(0.9, 0.8)));
        send(pedal, 1000, EV_ABS, ABS_Z, 100);
        send(pedal, 2000, EV_ABS, ABS_Z, 250);
        send(pedal, 3000, EV_ABS, ABS_Z, 0);
        assertThat(told).containsExactly("0 closed 1000", "1 closed 2000", "0 open 3000", "1 open 3000");
    }

    @Test
    void aPedalThatCountsDownwardsClosesBelow() {
        axes.put(ABS_Z, new int[] {255, 0, 255});
        EventReading pedal = pedal(axis(0, ABS_Z, new Threshold(0.4, 0.6)));
        send(pedal, 1000, EV_ABS, ABS_Z, 101);
        send(pedal, 2000, EV_ABS, ABS_Z, 153);
        send(pedal, 3000, EV_ABS, ABS_Z, 154);
        assertThat(told).containsExactly("0 closed 1000", "0 open 3000");
    }

    @Test
    void aRangeMayRunFromTheGreaterToTheLesserAndOverZero() {
        axes.put(ABS_Z, new int[] {100, 100, -100});
        EventReading pedal = pedal(axis(0, ABS_Z, SWELL));
        send(pedal, 1000, EV_ABS, ABS_Z, -21);
        send(pedal, 2000, EV_ABS, ABS_Z, 21);
        assertThat(told).containsExactly("0 closed 1000", "0 open 2000");
    }

    @Test
    void aRangeMayBeAsWideAsANumber() {
        axes.put(ABS_Z, new int[] {Integer.MIN_VALUE, Integer.MIN_VALUE, Integer.MAX_VALUE});
        EventReading pedal = pedal(axis(0, ABS_Z, SWELL));
        send(pedal, 1000, EV_ABS, ABS_Z, Integer.MAX_VALUE);
        send(pedal, 2000, EV_ABS, ABS_Z, Integer.MIN_VALUE);
        assertThat(told).containsExactly("0 closed 1000", "0 open 2000");
    }

    // Documentation/input/gamepad.rst: a hat is an axis of -1, 0, 1
    @Test
    void aHatIsAContactAtEachEnd() {
        axes.put(ABS_HAT0X, new int[] {0, -1, 1});
        EventReading hat =
                pedal(axis(0, ABS_HAT0X, new Threshold(0.25, 0.4)), axis(1, ABS_HAT0X, new Threshold(0.75, 0.6)));
        send(hat, 1000, EV_ABS, ABS_HAT0X, -1);
        send(hat, 2000, EV_ABS, ABS_HAT0X, 0);
        send(hat, 3000, EV_ABS, ABS_HAT0X, 1);
        send(hat, 4000, EV_ABS, ABS_HAT0X, -1);
        assertThat(told)
                .containsExactly("0 closed 1000", "0 open 2000", "1 closed 3000", "0 closed 4000", "1 open 4000");
    }

    @Test
    void anAxisThatIsBeyondItsThresholdAlreadyCountsFromTheNextPress() {
        axes.put(ABS_Z, new int[] {200, 0, 255});
        EventContacts contacts = contacts(axis(0, ABS_Z, SWELL));
        assertThat(contacts.remarks(new long[EvdevDecoder.WORDS]))
                .containsExactly("ABS_Z is beyond its threshold already and counts from when it is next pressed");
        EventReading pedal = new EventReading(contacts, state, new long[EvdevDecoder.WORDS]);
        send(pedal, 1000, EV_ABS, ABS_Z, 250);
        send(pedal, 2000, EV_ABS, ABS_Z, 10);
        assertThat(told).isEmpty();
        send(pedal, 3000, EV_ABS, ABS_Z, 200);
        assertThat(told).containsExactly("0 closed 3000");
    }

    @Test
    void anAxisWithoutARangeIsNoContact() {
        axes.put(ABS_Z, new int[] {0, 0, 0});
        EventContacts contacts = contacts(axis(0, ABS_Z, SWELL));
        assertThat(contacts.remarks(new long[EvdevDecoder.WORDS]))
                .containsExactly("the device gives no range for ABS_Z, so that it cannot be a contact");
        send(new EventReading(contacts, state, new long[EvdevDecoder.WORDS]), 1000, EV_ABS, ABS_Z, 10);
        assertThat(told).isEmpty();
    }

    // event-codes.rst, SYN_DROPPED: query the device (EVIOCG*) to obtain its current state
    @Test
    void asksWhereTheAxesStandAfterEventsWereDropped() {
        EventReading pedal = pedal(axis(0, ABS_Z, SWELL));
        axes.put(ABS_Z, new int[] {200, 0, 255});
        send(pedal, 1000, EV_SYN, SYN_DROPPED, 0);
        send(pedal, 2000, EV_ABS, ABS_Z, 0);
        send(pedal, 3000, EV_SYN, 0, 0);
        assertThat(told).containsExactly("0 closed 3000");
    }

    @Test
    void passesOverWhatIsOlderThanTheAnswerOfTheDevice() {
        EventReading pedal = pedal(axis(0, ABS_Z, SWELL));
        axes.put(ABS_Z, new int[] {200, 0, 255});
        clock = 10_500;
        send(pedal, 1000, EV_SYN, SYN_DROPPED, 0);
        send(pedal, 2000, EV_SYN, 0, 0);
        // queued before the device was asked, to the grain of the stamps
        send(pedal, 9_000, EV_ABS, ABS_Z, 20);
        assertThat(told).containsExactly("0 closed 2000");
        send(pedal, 10_000, EV_ABS, ABS_Z, 20);
        assertThat(told).containsExactly("0 closed 2000", "0 open 10000");
    }

    @Test
    void opensAnAxisThatIsClosedWhenTheDeviceVanishes() {
        EventReading pedal = pedal(axis(0, ABS_Z, SWELL), axis(1, ABS_Z, new Threshold(0.9, 0.8)));
        send(pedal, 9000, EV_ABS, ABS_Z, 200);
        pedal.vanished(8000);
        pedal.vanished(9500);
        assertThat(told).containsExactly("0 closed 9000", "0 lost 9000");
    }

    @Test
    void tellsPositionsWhereTheyAreSentAfterTheEdge() {
        EventReading pedal = pedal(new Axis(0, ABS_Z, SWELL, new Moves(0, Scale.PERCENT, 1)), axis(1, ABS_Z, SWELL));
        send(pedal, 1000, EV_ABS, ABS_Z, 51);
        send(pedal, 2000, EV_ABS, ABS_Z, 300);
        assertThat(told).containsExactly("0 at 0.2 1000", "0 closed 2000", "0 at 1.0 2000", "1 closed 2000");
    }

    // event-codes.rst: REL_WHEEL counts detents
    @Test
    void aDetentIsAPressAndAReleaseInOneInstant() {
        EventReading dial = wheels(new WheelStep(0, REL_WHEEL, true), new WheelStep(1, REL_WHEEL, false));
        send(dial, 1000, EV_REL, REL_WHEEL, 1);
        send(dial, 2000, EV_REL, REL_WHEEL, -2);
        send(dial, 3000, EV_REL, REL_WHEEL, 0);
        send(dial, 4000, EV_REL, REL_DIAL, 1);
        assertThat(told)
                .containsExactly(
                        "0 closed 1000", "0 open 1000", "1 closed 2000", "1 open 2000", "1 closed 2000", "1 open 2000");
    }

    @Test
    void aDeviceThatLiesAboutItsWheelDoesNotHoldUpTheRest() {
        EventReading dial = wheels(new WheelStep(0, REL_WHEEL, true), new WheelStep(1, REL_WHEEL, false));
        send(dial, 1000, EV_REL, REL_WHEEL, Integer.MAX_VALUE);
        send(dial, 2000, EV_REL, REL_WHEEL, Integer.MIN_VALUE);
        assertThat(told).hasSize(2 * 2 * 64);
    }

    @Property
    void closingsAndOpeningsOfAnAxisAlternateAndNothingSticks(
            @ForAll @Size(max = 200) List<@IntRange(min = -10, max = 265) Integer> way) {
        told.clear();
        axes.put(ABS_Z, new int[] {0, 0, 255});
        EventReading pedal = pedal(axis(0, ABS_Z, SWELL));
        long at = 0;
        for (int value : way) {
            axes.put(ABS_Z, new int[] {value, 0, 255});
            at += 1000;
            if (value % 7 == 0) {
                send(pedal, at, EV_SYN, SYN_DROPPED, 0);
                send(pedal, at, EV_SYN, 0, 0);
            } else {
                send(pedal, at, EV_ABS, ABS_Z, value);
            }
        }
        pedal.vanished(at);
        for (int i = 0; i < told.size(); i++) {
            assertThat(told.get(i).contains("closed")).isEqualTo(i % 2 == 0);
        }
        assertThat(told.size() % 2).isZero();
    }

    @Test
    void allocatesNothingPerMove() {
        com.sun.management.ThreadMXBean threads = (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
        long[] edges = {0};
        InputListener counting = new InputListener() {
            @Override
            public void edge(int contact, boolean closed, boolean lost, long nanos) {
                edges[0]++;
            }

            @Override
            public void device(int pedal, DeviceState state, String detail, long nanos) {
                throw new AssertionError("contacts know no devices");
            }
        };
        PedalSettings.Events events = new PedalSettings.Events(
                "floor",
                new DeviceMatch(null, null, null, null, null, 1),
                true,
                List.of(),
                List.of(axis(0, ABS_Z, SWELL)),
                List.of(new WheelStep(1, REL_WHEEL, true)));
        EventReading pedal =
                new EventReading(new EventContacts(events, counting, state), state, new long[EvdevDecoder.WORDS]);
        often(pedal, 20_000);
        edges[0] = 0;
        long before = threads.getCurrentThreadAllocatedBytes();
        often(pedal, 100_000);
        assertThat(threads.getCurrentThreadAllocatedBytes() - before).isLessThan(10_000);
        assertThat(edges[0]).isEqualTo(400_000);
    }

    private static void often(EventReading pedal, int times) {
        for (int i = 0; i < times; i++) {
            send(pedal, 1000, EV_ABS, ABS_Z, 250);
            send(pedal, 1000, EV_ABS, ABS_Z, 0);
            send(pedal, 1000, EV_REL, REL_WHEEL, 1);
        }
    }

    private EventContacts contacts(Axis... contacts) {
        return new EventContacts(events(List.of(contacts), List.of()), listener, state);
    }

    private EventReading pedal(Axis... contacts) {
        return new EventReading(contacts(contacts), state, new long[EvdevDecoder.WORDS]);
    }

    private EventReading wheels(WheelStep... steps) {
        EventContacts contacts = new EventContacts(events(List.of(), List.of(steps)), listener, state);
        return new EventReading(contacts, state, new long[EvdevDecoder.WORDS]);
    }

    private static PedalSettings.Events events(List<Axis> axes, List<WheelStep> steps) {
        DeviceMatch any = new DeviceMatch(null, null, null, null, null, 1);
        return new PedalSettings.Events("floor", any, true, List.of(), axes, steps);
    }

    private static Axis axis(int contact, int code, Threshold threshold) {
        return new Axis(contact, code, threshold, null);
    }

    private static void send(EventReading pedal, long nanos, int type, int code, int value) {
        int at = pedal.buffer().position();
        pedal.buffer().putLong(at, nanos / 1_000_000_000L).putLong(at + 8, nanos % 1_000_000_000L / 1_000L);
        pedal.buffer()
                .putShort(at + 16, (short) type)
                .putShort(at + 18, (short) code)
                .putInt(at + 20, value);
        pedal.received(EvdevDecoder.EVENT_BYTES);
    }
}
