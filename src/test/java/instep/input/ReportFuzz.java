package instep.input;

import instep.input.hid.ReportDescriptor;
import java.util.Arrays;

/** Any bytes as a descriptor and as reports, longer or shorter than it says: controls stand between their ends, whatever comes. */
public final class ReportFuzz {
    private static final int MOST = 64;

    private ReportFuzz() {}

    /** The first byte says how long the descriptor is; reports of 1 to 64 bytes follow. Throws if a control leaves its way. */
    public static void fuzzerTestOneInput(byte[] bytes) {
        if (bytes.length == 0) {
            return;
        }
        int end = Math.min(bytes.length, 1 + Byte.toUnsignedInt(bytes[0]));
        NamedReading reading =
                new NamedReading(ReportDescriptor.parse(Arrays.copyOfRange(bytes, 1, end)), new Within());
        for (int at = end; at + 1 < bytes.length; ) {
            int length = Math.min(1 + Math.floorMod(bytes[at], MOST), bytes.length - at - 1);
            reading.buffer().put(0, bytes, at + 1, length);
            reading.received(length);
            at += 1 + length;
        }
    }

    private static final class Within implements NamedReading.Controls {
        @Override
        public void switched(Signal signal, boolean closed, long nanos) {
            if (signal.keys().isEmpty()) {
                throw new IllegalStateException("a control without a name");
            }
        }

        @Override
        public void stands(Signal signal, double share) {
            moved(signal, share, 0);
        }

        @Override
        public void moved(Signal signal, double share, long nanos) {
            if (!(share >= 0 && share <= 1)) {
                throw new IllegalStateException(signal.keys() + " at " + share);
            }
        }
    }
}
