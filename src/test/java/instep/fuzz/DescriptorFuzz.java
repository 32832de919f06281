package instep.fuzz;

import instep.input.hid.InputField;
import instep.input.hid.ReportDescriptor;

/** Any bytes as a report descriptor: they give fields that lie within a report, or a fault with its place, and soon. */
public final class DescriptorFuzz {
    private static final long LONGEST_REPORT_BITS = 4096L * 8 + 8;

    private DescriptorFuzz() {}

    /** Throws if they do not. */
    public static void fuzzerTestOneInput(byte[] bytes) {
        ReportDescriptor descriptor = ReportDescriptor.parse(bytes);
        Broken.unless(
                descriptor.fault().isEmpty()
                        || (descriptor.fault().startsWith("byte ")
                                && descriptor.fields().isEmpty()),
                descriptor.fault());
        for (InputField field : descriptor.fields()) {
            long end = field.bit() + (long) field.size() * field.count();
            Broken.unless(
                    end > 0 && end <= LONGEST_REPORT_BITS && !field.usages().isEmpty(), field.toString());
        }
    }
}
