package instep.input.hid;

import java.util.List;

/**
 * What a report descriptor says of the reports that a device sends. Output and feature reports are passed over.
 *
 * @param fields in the order of the descriptor, without padding; none if there is a fault
 * @param isNumbered whether the first byte of each report is its number
 * @param applications the usages of the outermost collections, in the order of the descriptor; what the device is
 * @param fault what is wrong with it, with the place; empty if nothing is
 */
public record ReportDescriptor(List<InputField> fields, boolean isNumbered, List<Usage> applications, String fault) {
    /** The longest descriptor that the kernel takes: HID_MAX_DESCRIPTOR_SIZE in linux/hid.h. */
    public static final int LONGEST = 4096;

    public ReportDescriptor {
        fields = List.copyOf(fields);
        applications = List.copyOf(applications);
    }

    /** Reads a descriptor; whatever the bytes are, in time and memory that are linear in their number. */
    public static ReportDescriptor parse(byte[] bytes) {
        return new DescriptorParser(bytes).parse();
    }
}
