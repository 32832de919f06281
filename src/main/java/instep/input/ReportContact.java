package instep.input;

import instep.gesture.Threshold;
import java.nio.ByteBuffer;

/**
 * A contact in raw reports: a control, and when that is closed.
 *
 * @param contact the number of the contact
 * @param report the number of the report that it is in, which is that report's first byte; or {@link PedalSettings#ANY_REPORT}
 * @param isSent whether its positions are sent
 */
record ReportContact(int contact, int report, Control control, Threshold threshold, boolean isSent) {
    /** Its position in a report; {@link Control#UNCHANGED} also if that is another report. */
    double share(ByteBuffer bytes, int length) {
        boolean other =
                report != PedalSettings.ANY_REPORT && (length == 0 || Byte.toUnsignedInt(bytes.get(0)) != report);
        return other ? Control.UNCHANGED : control.share(bytes, length);
    }
}
