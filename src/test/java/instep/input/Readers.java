package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gesture.Moves;
import instep.gesture.Scale;
import instep.gesture.Threshold;
import instep.input.PedalSettings.ReportBits;
import instep.input.PedalSettings.ReportUsage;
import instep.input.PedalSettings.Reports;
import instep.input.hid.InputField;
import instep.input.hid.ReportDescriptor;
import instep.input.hid.Usage;
import instep.input.hid.UsageRange;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.TreeSet;

/** What devices and files say, whatever they say: no exception, no edge twice, nothing left closed. */
final class Readers {
    private static final int LONGEST_REPORT = 64;
    private static final DeviceMatch ANY = new DeviceMatch("1209:b0b0", null, null, null, null, 1);
    private static final Moves SENT = new Moves(0, Scale.PERCENT, 1);

    void descriptorsOfReports(byte[] bytes) {
        ReportDescriptor descriptor = ReportDescriptor.parse(bytes);
        if (!descriptor.fault().isEmpty()) {
            assertThat(descriptor.fields()).isEmpty();
        }
        for (InputField field : descriptor.fields()) {
            long end = field.bit() + (long) field.size() * field.count();
            assertThat(end).isBetween(1L, (ReportDescriptor.LONGEST + 1L) * Byte.SIZE);
            assertThat(field.usages()).isNotEmpty();
        }
    }

    /** The first byte says how long the descriptor is, in pairs of bytes; reports follow it, each after its length. */
    void reportsOfADeviceThatDescribesItself(byte[] bytes) {
        int end = bytes.length == 0 ? 0 : Math.min(bytes.length, 1 + 2 * Byte.toUnsignedInt(bytes[0]));
        byte[] descriptor = Arrays.copyOfRange(bytes, Math.min(1, end), end);
        Reports pedal = new Reports("box", ANY, List.of(ReportBits.ofBit(0, 2, 3)), usages(descriptor));
        Heard heard = new Heard();
        ReportReading reading = new ReportReading(new ReportLayout(pedal, descriptor), heard);
        for (int at = end; at < bytes.length; ) {
            int length = Math.min(bytes[at] & LONGEST_REPORT - 1, bytes.length - at - 1);
            reading.buffer().put(0, bytes, at + 1, length);
            reading.received(length);
            at += 1 + length;
        }
        reading.vanished(1);
        assertThat(heard.down).isEmpty();
    }

    /** Bytes in place of {@code struct input_event}s, in reads of any length. */
    void eventsOfTheKernel(byte[] bytes) {
        TreeSet<Integer> down = new TreeSet<>();
        long[] state = new long[EvdevDecoder.WORDS];
        EvdevDecoder decoder = new EvdevDecoder(
                (code, closed, lost, nanos) ->
                        assertThat(closed ? down.add(code) : down.remove(code)).isTrue(),
                keys -> {
                    System.arraycopy(state, 0, keys, 0, keys.length);
                    return bytes.length % 2 == 0;
                });
        for (int at = 0; at < bytes.length; ) {
            ByteBuffer buffer = decoder.buffer();
            int room = buffer.limit() - buffer.position();
            int length = Math.min(Math.min(room, bytes.length - at), 1 + Byte.toUnsignedInt(bytes[at]));
            state[at % state.length] ^= bytes[at];
            buffer.put(buffer.position(), bytes, at, length);
            decoder.received(length);
            at += length;
        }
        decoder.vanished(1);
        assertThat(down).isEmpty();
    }

    void performances(byte[] bytes) throws PerformanceException {
        Performance read;
        try {
            read = Performance.parse("feet", new String(bytes, StandardCharsets.UTF_8));
        } catch (PerformanceException e) {
            assertThat(e.getMessage()).startsWith("feet").doesNotContain("null");
            return;
        }
        assertThat(Performance.parse("feet", read.toText()).edges()).isEqualTo(read.edges());
    }

    /** A contact for each of the first usages that the descriptor has. */
    private static List<ReportUsage> usages(byte[] descriptor) {
        List<UsageRange> ranges = ReportDescriptor.parse(descriptor).fields().stream()
                .flatMap(field -> field.usages().stream())
                .limit(4)
                .toList();
        List<ReportUsage> usages = new ArrayList<>();
        for (UsageRange range : ranges) {
            Usage last = new Usage(range.page(), range.last());
            usages.add(new ReportUsage(1 + usages.size(), PedalSettings.ANY_REPORT, last, Threshold.DEFAULT, SENT));
        }
        return usages;
    }

    /** Which contacts are closed. */
    private static final class Heard implements InputListener {
        private final TreeSet<Integer> down = new TreeSet<>();

        @Override
        public void edge(int contact, boolean closed, boolean lost, long nanos) {
            assertThat(closed ? down.add(contact) : down.remove(contact)).isTrue();
        }

        @Override
        public void moved(int contact, double share, long nanos) {
            assertThat(share).isBetween(0.0, 1.0);
        }

        @Override
        public void device(int pedal, DeviceState state, String detail, long nanos) {
            throw new AssertionError("a decoder knows no devices");
        }
    }
}
