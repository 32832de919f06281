package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import java.lang.management.ManagementFactory;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.SplittableRandom;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;

class EvdevDecoderTest {
    private static final int A = 30;
    private static final int B = 48;
    private static final int C = 46;
    // linux/input-event-codes.h
    private static final int EV_SYN = 0;
    private static final int EV_KEY = 1;
    private static final int EV_MSC = 4;
    private static final int SYN_DROPPED = 3;
    private static final int LAST_KEY = 0x2ff;

    private final List<String> told = new ArrayList<>();
    private final long[] down = new long[EvdevDecoder.WORDS];
    private int asked;
    private final EvdevDecoder decoder = new EvdevDecoder(
            (code, closed, lost, nanos) -> told.add(code + (closed ? " closed " : lost ? " lost " : " open ") + nanos),
            keys -> {
                asked++;
                System.arraycopy(down, 0, keys, 0, keys.length);
                return true;
            });

    // The bytes that a C program on x86-64 prints of {tv_sec 1, tv_usec 2, EV_KEY, KEY_B, 1}: linux/input.h
    @Test
    void readsTheStructAsTheKernelLaysItOut() {
        Assumptions.assumeTrue(ByteOrder.nativeOrder() == ByteOrder.LITTLE_ENDIAN, "the bytes are little-endian");
        feed(HexFormat.of().parseHex("0100000000000000" + "0200000000000000" + "0100" + "3000" + "01000000"));
        assertThat(told).containsExactly("48 closed 1000002000");
    }

    @Test
    void tellsClosingAndOpeningWithTheKernelsTime() {
        feed(group(1_000_000_000L, A, 1), group(1_250_000_000L, A, 0));
        assertThat(told).containsExactly("30 closed 1000000000", "30 open 1250000000");
    }

    // Documentation/input/event-codes.rst: EV_KEY value 2 is autorepeat
    @Test
    void ignoresAutorepeat() {
        feed(group(1000, A, 1), group(2000, A, 2), group(3000, A, 2), group(4000, A, 0));
        assertThat(told).containsExactly("30 closed 1000", "30 open 4000");
    }

    @Test
    void ignoresWhatIsNoKey() {
        feed(event(1000, 2, 8, 1), event(1000, 3, 0, 1), event(1000, EV_KEY, LAST_KEY + 1, 1), event(1, EV_KEY, A, -1));
        assertThat(told).isEmpty();
    }

    @Test
    void knowsTheLastKeyOfAll() {
        feed(group(1000, LAST_KEY, 1));
        decoder.vanished(5000);
        assertThat(told).containsExactly("767 closed 1000", "767 lost 5000");
    }

    @Test
    void putsTogetherAnEventThatWasCutAnywhere() {
        byte[] bytes = join(group(1000, A, 1), group(2000, A, 0));
        for (int cut = 0; cut <= bytes.length; cut++) {
            told.clear();
            feed(slice(bytes, 0, cut));
            feed(slice(bytes, cut, bytes.length));
            assertThat(told).as("cut at %d", cut).containsExactly("30 closed 1000", "30 open 2000");
        }
    }

    @Test
    void readsByteByByte() {
        for (byte one : group(1000, A, 1)) {
            feed(new byte[] {one});
        }
        assertThat(told).containsExactly("30 closed 1000");
    }

    // event-codes.rst, SYN_DROPPED: ignore all events up to and including the next SYN_REPORT and query the device
    @Test
    void asksForTheStateAfterEventsWereDropped() {
        feed(group(1000, A, 1));
        down[0] |= 1L << C;
        feed(event(2000, EV_SYN, SYN_DROPPED, 0), event(3000, EV_KEY, B, 1));
        assertThat(asked).isZero();
        feed(event(3000, EV_SYN, 0, 0));
        assertThat(asked).isEqualTo(1);
        assertThat(told).containsExactly("30 closed 1000", "30 open 3000", "46 closed 3000");
    }

    @Test
    void tellsWhatCameAfterTheDropInTheSameRead() {
        down[0] |= 1L << C;
        feed(join(
                event(2000, EV_SYN, SYN_DROPPED, 0),
                event(3000, EV_SYN, 0, 0),
                group(4000, B, 1),
                group(5000, B, 0),
                group(6000, A, 1)));
        // A is open again by the time that the state is asked for, and no time goes back
        assertThat(told)
                .containsExactly("48 closed 4000", "48 open 5000", "30 closed 6000", "30 open 6000", "46 closed 6000");
    }

    @Test
    void keepsWhatItKnowsIfTheStateCannotBeHad() {
        List<String> edges = new ArrayList<>();
        EvdevDecoder mute =
                new EvdevDecoder((code, closed, lost, nanos) -> edges.add(code + " " + closed), keys -> false);
        feed(mute, join(group(1000, A, 1), event(2000, EV_SYN, SYN_DROPPED, 0), event(3000, EV_SYN, 0, 0)));
        mute.vanished(4000);
        assertThat(edges).containsExactly("30 true", "30 false");
    }

    @Test
    void doesNotTakeAKeyThatWasDownBeforeForAPress() {
        down[0] |= 1L << A;
        decoder.downAtOpen(down);
        feed(event(1000, EV_SYN, SYN_DROPPED, 0), event(2000, EV_SYN, 0, 0));
        feed(group(3000, A, 2), group(4000, A, 0));
        assertThat(told).isEmpty();
        feed(group(5000, A, 1));
        assertThat(told).containsExactly("30 closed 5000");
    }

    @Test
    void noticesThatAKeyDownBeforeWasReleasedWhileEventsWereDropped() {
        down[0] |= 1L << A;
        decoder.downAtOpen(down);
        down[0] = 0;
        feed(event(1000, EV_SYN, SYN_DROPPED, 0), event(2000, EV_SYN, 0, 0));
        down[0] |= 1L << A;
        feed(event(3000, EV_SYN, SYN_DROPPED, 0), event(4000, EV_SYN, 0, 0));
        assertThat(told).containsExactly("30 closed 4000");
    }

    @Test
    void opensWhatIsClosedWhenTheDeviceVanishes() {
        feed(group(1000, A, 1), group(2000, B, 1), group(3000, B, 0), group(9000, C, 1));
        told.clear();
        decoder.vanished(8000);
        decoder.vanished(9500);
        assertThat(told).as("once, and not before the last edge").containsExactly("30 lost 9000", "46 lost 9000");
    }

    /** What a device may send, in words: the steps are a key, 0 to 4, or a drop. */
    @Property
    void nothingSticks(
            @ForAll @Size(max = 200) List<@IntRange(min = 0, max = 5) Integer> steps,
            @ForAll long seed,
            @ForAll @IntRange(min = 1, max = 97) int piece) {
        SplittableRandom random = new SplittableRandom(seed);
        int[] presses = new int[EvdevDecoder.KEYS];
        int[] releases = new int[EvdevDecoder.KEYS];
        long[] held = new long[EvdevDecoder.WORDS];
        long[] last = {Long.MIN_VALUE};
        EvdevDecoder any = new EvdevDecoder(
                (code, closed, lost, nanos) -> {
                    (closed ? presses : releases)[code]++;
                    assertThat(presses[code] - releases[code]).isBetween(0, 1);
                    assertThat(nanos).isGreaterThanOrEqualTo(last[0]);
                    last[0] = nanos;
                },
                keys -> {
                    System.arraycopy(held, 0, keys, 0, keys.length);
                    return true;
                });
        List<byte[]> sent = new ArrayList<>();
        long at = 0;
        for (int step : steps) {
            at += 1000L * random.nextInt(3);
            int code = A + step;
            if (step == 5) {
                held[0] ^= random.nextLong() & 0x7L << A;
                sent.add(join(event(at, EV_SYN, SYN_DROPPED, 0), event(at, EV_KEY, A, 1), event(at, EV_SYN, 0, 0)));
            } else {
                held[0] ^= 1L << code;
                sent.add(group(at, code, (int) (held[0] >>> code & 1)));
            }
        }
        byte[] all = join(sent.toArray(byte[][]::new));
        for (int i = 0; i < all.length; i += piece) {
            feed(any, slice(all, i, Math.min(all.length, i + piece)));
        }
        any.vanished(at);
        assertThat(presses).isEqualTo(releases);
    }

    @Test
    void allocatesNothingPerEvent() {
        com.sun.management.ThreadMXBean threads = (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
        long[] edges = {0};
        EvdevDecoder quick = new EvdevDecoder((code, closed, lost, nanos) -> edges[0]++, keys -> true);
        byte[] bytes = join(
                group(1000, A, 1), group(2000, A, 0), event(3000, EV_SYN, SYN_DROPPED, 0), event(3000, EV_SYN, 0, 0));
        feedOften(quick, bytes, 20_000);
        long before = threads.getCurrentThreadAllocatedBytes();
        feedOften(quick, bytes, 100_000);
        long allocated = threads.getCurrentThreadAllocatedBytes() - before;
        assertThat(edges[0]).isEqualTo(240_000);
        assertThat(allocated).as("bytes for 200,000 edges").isLessThan(10_000);
    }

    private static void feedOften(EvdevDecoder decoder, byte[] bytes, int times) {
        for (int i = 0; i < times; i++) {
            decoder.buffer().put(decoder.buffer().position(), bytes);
            decoder.received(bytes.length);
        }
    }

    private void feed(byte[]... events) {
        for (byte[] bytes : events) {
            feed(decoder, bytes);
        }
    }

    private static void feed(EvdevDecoder decoder, byte[] bytes) {
        for (int i = 0; i < bytes.length; ) {
            int room = Math.min(decoder.buffer().remaining(), bytes.length - i);
            decoder.buffer().put(decoder.buffer().position(), bytes, i, room);
            decoder.received(room);
            i += room;
        }
    }

    /** What a keyboard-like device sends for one change: scan code, key, report. */
    private static byte[] group(long nanos, int code, int value) {
        return join(event(nanos, EV_MSC, 4, 0x70000 + code), event(nanos, EV_KEY, code, value), event(nanos, 0, 0, 0));
    }

    static byte[] event(long nanos, int type, int code, int value) {
        return ByteBuffer.allocate(24)
                .order(ByteOrder.nativeOrder())
                .putLong(nanos / 1_000_000_000L)
                .putLong(nanos % 1_000_000_000L / 1000)
                .putShort((short) type)
                .putShort((short) code)
                .putInt(value)
                .array();
    }

    static byte[] join(byte[]... parts) {
        int length = 0;
        for (byte[] part : parts) {
            length += part.length;
        }
        ByteBuffer all = ByteBuffer.allocate(length);
        for (byte[] part : parts) {
            all.put(part);
        }
        return all.array();
    }

    private static byte[] slice(byte[] bytes, int from, int to) {
        return java.util.Arrays.copyOfRange(bytes, from, to);
    }
}
