package instep.input;

import java.nio.ByteBuffer;

/**
 * From the bytes of a MIDI 1.0 wire to whole messages: running status, real-time bytes anywhere, exclusive messages
 * if they are short. Any bytes are taken; what makes no message is dropped. Allocates nothing. Not thread-safe.
 */
final class MidiParser {
    /** Who is told. */
    interface Listener {
        /**
         * A message.
         *
         * @param status with the channel in its low bits where it has one; a note-on of velocity 0 comes as note-off
         * @param first 0 if it has no data
         * @param second 0 if it has one byte of data at most
         */
        void message(int status, int first, int second);

        /**
         * An exclusive message of at most {@value #MOST_EXCLUSIVE} bytes.
         *
         * @param bytes what stands between the status and EOX, in the first {@code length}; lent for the call
         */
        default void exclusive(byte[] bytes, int length) {}
    }

    /** Longer ones are skipped: nothing that is used here is. */
    static final int MOST_EXCLUSIVE = 8;

    static final int NOTE_OFF = 0x80;
    static final int NOTE_ON = 0x90;
    static final int CONTROL_CHANGE = 0xb0;
    static final int PROGRAM_CHANGE = 0xc0;
    static final int ACTIVE_SENSING = 0xfe;
    static final int SYSTEM_RESET = 0xff;
    static final int QUARTER_FRAME = 0xf1;
    private static final int SYSTEM = 0xf0;
    private static final int EXCLUSIVE = 0xf0;
    private static final int END_OF_EXCLUSIVE = 0xf7;
    private static final int REAL_TIME = 0xf8;
    private static final int KIND = 0xf0;
    /** No message to which data could belong. */
    private static final int NONE = 0;

    private static final int NO_DATA = -1;

    private final Listener listener;
    private final byte[] exclusive = new byte[MOST_EXCLUSIVE];
    /** How many bytes of an exclusive message have come; negative: there is none. */
    private int collected = NO_DATA;

    private int status = NONE;
    private int first = NO_DATA;

    MidiParser(Listener listener) {
        this.listener = listener;
    }

    /** Takes so many bytes of the buffer, from that index on. */
    void bytes(ByteBuffer buffer, int from, int length) {
        for (int i = from; i < from + length; i++) {
            octet(Byte.toUnsignedInt(buffer.get(i)));
        }
    }

    /** Takes one byte, 0 to 255. */
    void octet(int octet) {
        if (octet >= REAL_TIME) {
            realTime(octet);
        } else if (octet >= NOTE_OFF) {
            begin(octet);
        } else if (collected >= 0) {
            collect(octet);
        } else if (status != NONE) {
            data(octet);
        }
    }

    private void collect(int octet) {
        if (collected < MOST_EXCLUSIVE) {
            exclusive[collected] = (byte) octet;
        }
        collected = Math.min(collected + 1, MOST_EXCLUSIVE + 1);
    }

    private void realTime(int octet) {
        if (octet == SYSTEM_RESET) {
            forget();
        }
        if (octet != 0xf9 && octet != 0xfd) { // these two are undefined
            listener.message(octet, 0, 0);
        }
    }

    /** A new status is adopted also if the message before it was not complete. */
    private void begin(int octet) {
        if (octet == END_OF_EXCLUSIVE && collected >= 0 && collected <= MOST_EXCLUSIVE) {
            listener.exclusive(exclusive, collected);
        }
        forget();
        if (octet == EXCLUSIVE) {
            collected = 0;
        }
        if (octet == 0xf6) { // tune request, which has no data
            listener.message(octet, 0, 0);
        } else if (length(octet) > 0) {
            status = octet;
        }
    }

    private void data(int octet) {
        if (length(status) == 2 && first == NO_DATA) {
            first = octet;
            return;
        }
        int whole = status;
        int one = first == NO_DATA ? octet : first;
        int two = first == NO_DATA ? 0 : octet;
        first = NO_DATA;
        if (whole >= SYSTEM) {
            status = NONE;
        }
        boolean off = (whole & KIND) == NOTE_ON && two == 0;
        listener.message(off ? NOTE_OFF | (whole & ~KIND) : whole, one, two);
    }

    private void forget() {
        collected = NO_DATA;
        status = NONE;
        first = NO_DATA;
    }

    /** How many bytes of data belong to it; 0 also for what is skipped. */
    private static int length(int status) {
        return switch (status & KIND) {
            case NOTE_OFF, NOTE_ON, 0xa0, CONTROL_CHANGE, 0xe0 -> 2;
            case PROGRAM_CHANGE, 0xd0 -> 1;
            default -> status == QUARTER_FRAME || status == 0xf3 ? 1 : status == 0xf2 ? 2 : 0;
        };
    }
}
