package instep.input.hid;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;

/**
 * Reads the items of a report descriptor one after the other (HID 1.11, 5.3 and 6.2.2). A short item's first byte is tag (4 bits), type (2)
 * and length (2, where 3 stands for four bytes); what follows is little-endian. For one descriptor.
 */
final class DescriptorParser {
    /** 6.2.2.3: its length comes next, and its tag then. */
    private static final int LONG_ITEM = 0xfe;
    /** What a report may hold at most, which is what is read of one. */
    private static final int MOST_BITS = ReportDescriptor.LONGEST * Byte.SIZE;
    /** The kernel's own bound for a control: hid_parser_global in drivers/hid/hid-core.c. */
    private static final int MOST_SIZE = 256;

    private static final int MOST_REPORT = 255;

    /** 6.2.2.4 to 6.2.2.8, tag and type of the items that are looked at; the others tell of bodies, units and strings. */
    private static final class Items {
        static final int INPUT = 0x80;
        static final int OUTPUT = 0x90;
        static final int COLLECTION = 0xa0;
        static final int FEATURE = 0xb0;
        static final int END_COLLECTION = 0xc0;
        static final int USAGE_PAGE = 0x04;
        static final int LOGICAL_MINIMUM = 0x14;
        static final int LOGICAL_MAXIMUM = 0x24;
        static final int REPORT_SIZE = 0x74;
        static final int REPORT_ID = 0x84;
        static final int REPORT_COUNT = 0x94;
        static final int PUSH = 0xa4;
        static final int POP = 0xb4;
        static final int USAGE = 0x08;
        static final int USAGE_MINIMUM = 0x18;
        static final int USAGE_MAXIMUM = 0x28;
        static final int DELIMITER = 0xa8;
    }

    /** 6.2.2.5, bits of an Input item. */
    private static final int CONSTANT = 1;

    private static final int VARIABLE = 2;
    private static final int RELATIVE = 4;

    private final byte[] bytes;
    private final List<InputField> fields = new ArrayList<>();
    private final List<Usage> applications = new ArrayList<>();
    private final Deque<Globals> pushed = new ArrayDeque<>();
    private final Locals locals = new Locals();
    /** By report: how many bits its fields so far have. */
    private final int[] bits = new int[MOST_REPORT + 1];

    private Globals globals = Globals.NONE;
    private boolean isNumbered;
    private int depth;
    private int at;
    private String fault = "";

    DescriptorParser(byte[] bytes) {
        this.bytes = bytes;
    }

    ReportDescriptor parse() {
        if (bytes.length > ReportDescriptor.LONGEST) {
            fail("longer than " + ReportDescriptor.LONGEST + " bytes");
        }
        while (at < bytes.length && fault.isEmpty()) {
            at += item();
        }
        if (fault.isEmpty() && depth > 0) {
            fail("it ends within a collection");
        }
        return new ReportDescriptor(fault.isEmpty() ? fields : List.of(), isNumbered, applications, fault);
    }

    /** Takes one item; gives its length. */
    private int item() {
        int prefix = Byte.toUnsignedInt(bytes[at]);
        if (prefix == LONG_ITEM) {
            return at + 1 < bytes.length ? whole(3 + Byte.toUnsignedInt(bytes[at + 1])) : whole(3);
        }
        int length = (prefix & 3) == 3 ? Integer.BYTES : prefix & 3;
        int whole = whole(1 + length);
        if (fault.isEmpty()) {
            long data = 0;
            for (int i = length; i > 0; i--) {
                data = data << Byte.SIZE | Byte.toUnsignedLong(bytes[at + i]);
            }
            take(prefix & 0xfc, data, length);
        }
        return whole;
    }

    private int whole(int length) {
        if (at + length > bytes.length) {
            fail("it is cut off in an item");
        }
        return length;
    }

    private void take(int item, long data, int length) {
        switch (item) {
            case Items.INPUT -> input((int) data);
            case Items.COLLECTION -> collection(data);
            case Items.END_COLLECTION -> endCollection();
            case Items.OUTPUT, Items.FEATURE -> locals.clear();
            case Items.USAGE_PAGE -> globals = globals.withPage((int) data & 0xffff);
            case Items.LOGICAL_MINIMUM -> globals = globals.withMinimum(signed(data, length));
            case Items.LOGICAL_MAXIMUM -> globals = globals.withMaximum(signed(data, length), data);
            case Items.REPORT_SIZE -> size(data);
            case Items.REPORT_COUNT -> globals = globals.withCount(data);
            case Items.REPORT_ID -> report(data);
            case Items.PUSH -> pushed.push(globals);
            case Items.POP -> pop();
            case Items.USAGE -> locals.usage(data, length);
            case Items.USAGE_MINIMUM -> locals.minimum(data, length);
            case Items.USAGE_MAXIMUM -> check(locals.maximum(data, length), "a range of usages without a beginning");
            case Items.DELIMITER -> check(locals.delimiter(data == 1), "delimiters that do not come in pairs");
            default -> {}
        }
    }

    private void input(int flags) {
        int report = globals.report();
        int start = bits[report] + (report == 0 ? 0 : Byte.SIZE);
        long length = globals.size() * globals.count();
        if (start + length > MOST_BITS) {
            fail("report " + report + " would be longer than " + MOST_BITS / Byte.SIZE + " bytes");
            return;
        }
        bits[report] += (int) length;
        List<UsageRange> usages = locals.usages(globals.page());
        locals.clear();
        if ((flags & CONSTANT) == 0 && length > 0 && !usages.isEmpty()) {
            fields.add(new InputField(
                    report,
                    start,
                    (int) globals.size(),
                    (int) globals.count(),
                    (flags & VARIABLE) == 0,
                    (flags & RELATIVE) != 0,
                    usages,
                    globals.minimum(),
                    globals.maximum()));
        }
    }

    private void collection(long kind) {
        List<UsageRange> usages = locals.usages(globals.page());
        locals.clear();
        if (depth++ == 0 && kind == 1 && !usages.isEmpty()) {
            applications.add(new Usage(usages.get(0).page(), usages.get(0).first()));
        }
    }

    private void endCollection() {
        locals.clear();
        check(depth > 0, "a collection ends that was not begun");
        depth--;
    }

    private void size(long data) {
        check(data <= MOST_SIZE, "controls of " + data + " bits; at most " + MOST_SIZE);
        globals = globals.withSize(data);
    }

    /** 6.2.2.7: zero is reserved. */
    private void report(long data) {
        isNumbered = true;
        if (data < 1 || data > MOST_REPORT) {
            fail("the number " + data + " for a report; it is from 1 to " + MOST_REPORT);
        } else {
            globals = globals.withReport((int) data);
        }
    }

    private void pop() {
        if (pushed.isEmpty()) {
            fail("a pop of what was not pushed");
        } else {
            globals = pushed.pop();
        }
    }

    private static long signed(long data, int length) {
        int unused = Long.SIZE - length * Byte.SIZE;
        return length == 0 ? 0 : data << unused >> unused;
    }

    private void check(boolean holds, String otherwise) {
        if (!holds) {
            fail(otherwise);
        }
    }

    private void fail(String what) {
        if (fault.isEmpty()) {
            fault = "byte " + at + ": " + what;
        }
    }
}
