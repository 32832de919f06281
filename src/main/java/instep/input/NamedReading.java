package instep.input;

import instep.gesture.Threshold;
import instep.input.hid.InputField;
import instep.input.hid.ReportDescriptor;
import instep.input.hid.Usage;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.List;

/**
 * All controls of one device's raw reports that its descriptor names, as far as they change. Of a vendor's own controls with more than one bit nobody knows what they
 * mean: there it is bits.
 */
final class NamedReading implements LoopSource.Reading {
    /** Where the changes go. */
    interface Controls {
        void switched(Signal signal, boolean closed, long nanos);

        void stands(Signal signal, double share);

        void moved(Signal signal, double share, long nanos);
    }

    /** More than the keyboard and consumer pages have together; what is beyond is no pedal. */
    private static final int MOST = 4096;
    /** Pages from here on are the vendor's own (HID Usage Tables 1.12, table 1). */
    private static final int VENDOR = 0xff00;
    /** On the keyboard page the first usages tell of errors, not of keys. */
    private static final int KEYBOARD = 0x07;

    private static final int FIRST_KEY = 0x04;

    /** A control and where it was last. */
    private static final class Watched {
        private final Signal signal;
        private final boolean isSwitch;
        private final ReportContact contact;
        private double last = Double.NaN;

        Watched(Signal signal, boolean isSwitch, int report, Control control) {
            this.signal = signal;
            this.isSwitch = isSwitch;
            this.contact = new ReportContact(0, report, control, Threshold.DEFAULT, false);
            last = isSwitch ? 0 : Double.NaN;
        }
    }

    private final ByteBuffer buffer = ByteBuffer.allocateDirect(ReportDecoder.LONGEST);
    private final List<Watched> watched = new ArrayList<>();
    private final Controls controls;

    NamedReading(ReportDescriptor descriptor, Controls controls) {
        this.controls = controls;
        for (InputField field : descriptor.fields()) {
            if (!field.isRelative() && field.size() <= Integer.SIZE) {
                watch(field, descriptor.isNumbered() ? field.report() : PedalSettings.ANY_REPORT);
            }
        }
    }

    /** Whether there is nothing that it could tell of. */
    boolean isEmpty() {
        return watched.isEmpty();
    }

    private void watch(InputField field, int report) {
        int places = field.isArray() ? MOST : Math.min(field.count(), MOST);
        for (int place = 0; place < places && watched.size() < MOST; place++) {
            Usage usage = field.usage(place);
            if (field.isArray()) {
                if (usage == null) {
                    return;
                }
                element(field, place, usage, report);
            } else if (usage == null || (usage.page() >= VENDOR && field.size() > 1)) {
                // A usage that stands for several controls (6.2.2.8) names none of them.
                bits(field, place, report);
            } else {
                watched.add(new Watched(
                        new Signal.Named(usage), field.size() == 1, report, Control.variable(field, place)));
            }
        }
    }

    private void element(InputField field, int place, Usage usage, int report) {
        if (usage.id() > 0 && (usage.page() != KEYBOARD || usage.id() >= FIRST_KEY)) {
            watched.add(new Watched(new Signal.Named(usage), true, report, Control.element(field, place)));
        }
    }

    private void bits(InputField field, int place, int report) {
        for (int i = 0; i < field.size(); i++) {
            int at = field.bit() + place * field.size() + i;
            int mask = 1 << at % Byte.SIZE;
            Signal signal = new Signal.Bit(Math.max(0, report), at / Byte.SIZE, at % Byte.SIZE);
            watched.add(new Watched(signal, true, report, Control.bits(at / Byte.SIZE, mask, mask)));
        }
    }

    @Override
    public ByteBuffer buffer() {
        return buffer;
    }

    @Override
    public void received(int length) {
        long nanos = System.nanoTime();
        // What closes comes first, so that a running number never seems to be at rest between two values.
        tell(true, length, nanos);
        tell(false, length, nanos);
    }

    private void tell(boolean rising, int length, long nanos) {
        for (Watched one : watched) {
            double share = one.contact.share(buffer, length);
            if (!Double.isNaN(share) && share != one.last && !(share < one.last) == rising) {
                told(one, share, nanos);
                one.last = share;
            }
        }
    }

    private void told(Watched one, double share, long nanos) {
        if (one.isSwitch) {
            controls.switched(one.signal, share > 0, nanos);
        } else if (Double.isNaN(one.last)) {
            // Where it was before its first report nobody knows: most likely not far from there.
            controls.stands(one.signal, share);
        } else {
            controls.moved(one.signal, share, nanos);
        }
    }

    @Override
    public void vanished(long nanos) {
        // whoever identifies a device knows that they pulled the plug
    }
}
