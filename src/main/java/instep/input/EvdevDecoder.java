package instep.input;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;

/**
 * From the bytes of {@code struct input_event} to keys that close and open, axes that move and wheels that turn.
 * Allocates nothing after it is made. Not thread-safe.
 *
 * <pre>
 * linux/input.h on 64-bit machines, native byte order
 *  0  8 seconds        16  2 type
 *  8  8 microseconds   18  2 code    20  4 value: of a key 0 open, 1 closed, 2 autorepeat
 * </pre>
 */
final class EvdevDecoder {
    /** Where it goes. */
    interface Signals {
        /**
         * A key closed or opened.
         *
         * @param lost whether it was opened because the device vanished
         * @param nanos the kernel's time
         */
        void key(int code, boolean closed, boolean lost, long nanos);

        /** An absolute axis stands there now. */
        default void axis(int code, int value, long nanos) {}

        /** A relative axis turned by so much, backwards if that is negative. */
        default void wheel(int code, int by, long nanos) {}

        /** Events were dropped: the axes may stand anywhere. Of the keys it is told what changed. */
        default void axesUnknown(long nanos) {}

        /** The device vanished; the keys have been told. */
        default void vanished(long nanos) {}
    }

    /** The device's own knowledge of its keys and axes. */
    interface State {
        /** Sets the bit of each key that is down and clears the others; false if the device does not say. */
        boolean down(long[] keys);

        /** Sets value, minimum and maximum of an axis, in that order; false if the device does not say. */
        default boolean axis(int code, int[] position) {
            return false;
        }

        /** The clock that events are stamped with: what was stamped before an answer is older than the answer. */
        default long now() {
            return Long.MIN_VALUE;
        }
    }

    /** Codes are smaller than this: KEY_CNT. */
    static final int KEYS = 0x300;
    /** Longs in a set of keys. */
    static final int WORDS = KEYS / Long.SIZE;

    static final int EVENT_BYTES = 24;
    private static final int EVENTS = 64;
    private static final int EV_SYN = 0;
    private static final int EV_KEY = 1;
    private static final int EV_REL = 2;
    private static final int EV_ABS = 3;
    private static final int SYN_REPORT = 0;
    private static final int SYN_DROPPED = 3;

    private final Signals signals;
    private final State state;
    private final ByteBuffer buffer =
            ByteBuffer.allocateDirect(EVENTS * EVENT_BYTES).order(ByteOrder.nativeOrder());
    private final long[] closed = new long[WORDS];
    /** Down since before the device was opened: not pressed for us, until they have been released. */
    private final long[] heldBefore = new long[WORDS];

    private final long[] down = new long[WORDS];
    private long latest = Long.MIN_VALUE;
    private boolean dropping;
    private boolean stale;
    private long staleNanos;

    EvdevDecoder(Signals signals, State state) {
        this.signals = signals;
        this.state = state;
    }

    /** Notes the keys that were down when the device was opened; their release will be no edge. */
    void downAtOpen(long[] before) {
        System.arraycopy(before, 0, heldBefore, 0, WORDS);
    }

    /** Where the next bytes belong: from its position to its limit. */
    ByteBuffer buffer() {
        return buffer;
    }

    /** Takes the bytes that were put at the buffer's position; a cut event waits for its rest. */
    void received(int bytes) {
        int end = buffer.position() + bytes;
        int at = 0;
        for (; at + EVENT_BYTES <= end; at += EVENT_BYTES) {
            event(at);
        }
        if (stale && !dropping) {
            resynchronize();
        }
        for (int i = at; i < end; i++) {
            buffer.put(i - at, buffer.get(i));
        }
        buffer.position(end - at);
    }

    /** Opens all that is closed: the device is gone. */
    void vanished(long nanos) {
        long at = Math.max(nanos, latest);
        for (int word = 0; word < WORDS; word++) {
            for (long left = closed[word]; left != 0; left &= left - 1) {
                change(word * Long.SIZE + Long.numberOfTrailingZeros(left), false, true, at);
            }
        }
        signals.vanished(at);
    }

    private void event(int at) {
        int type = Short.toUnsignedInt(buffer.getShort(at + 16));
        int code = Short.toUnsignedInt(buffer.getShort(at + 18));
        if (type == EV_KEY && !dropping) {
            key(code, buffer.getInt(at + 20), nanos(at));
        } else if (type == EV_ABS && !dropping) {
            latest = Math.max(latest, nanos(at));
            signals.axis(code, buffer.getInt(at + 20), nanos(at));
        } else if (type == EV_REL && !dropping) {
            latest = Math.max(latest, nanos(at));
            signals.wheel(code, buffer.getInt(at + 20), nanos(at));
        } else if (type == EV_SYN && code == SYN_DROPPED) {
            dropping = true;
        } else if (type == EV_SYN && code == SYN_REPORT && dropping) {
            dropping = false;
            stale = true;
            staleNanos = nanos(at);
        }
    }

    private long nanos(int at) {
        return buffer.getLong(at) * 1_000_000_000L + buffer.getLong(at + 8) * 1_000L;
    }

    private void key(int code, int value, long nanos) {
        if (code >= KEYS || value < 0 || value > 1) {
            return;
        }
        int word = code / Long.SIZE;
        long bit = 1L << code;
        heldBefore[word] &= ~bit;
        if (value == 1 != ((closed[word] & bit) != 0)) {
            change(code, value == 1, false, nanos);
        }
    }

    /**
     * Events were dropped: asks for the state and tells the differences. Asking throws away what the kernel still has
     * queued, so what was read with the report is decoded first and the state has the last word; that also keeps the
     * times of edges from going back.
     */
    private void resynchronize() {
        stale = false;
        long at = Math.max(staleNanos, latest);
        if (state.down(down)) {
            tellDifferences(at);
        }
        signals.axesUnknown(at);
    }

    private void tellDifferences(long at) {
        for (int word = 0; word < WORDS; word++) {
            heldBefore[word] &= down[word];
            for (long left = (down[word] ^ closed[word]) & ~heldBefore[word]; left != 0; left &= left - 1) {
                int code = word * Long.SIZE + Long.numberOfTrailingZeros(left);
                change(code, (closed[word] & Long.lowestOneBit(left)) == 0, false, at);
            }
        }
    }

    private void change(int code, boolean close, boolean lost, long nanos) {
        closed[code / Long.SIZE] ^= 1L << code;
        latest = Math.max(latest, nanos);
        signals.key(code, close, lost, nanos);
    }
}
