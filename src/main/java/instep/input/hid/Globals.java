package instep.input.hid;

/**
 * What global items have set (HID 1.11, 6.2.2.7), as far as it matters here.
 *
 * @param minimum signed
 * @param maximumSigned the maximum's bits taken as a signed number
 * @param maximumUnsigned the same bits taken as an unsigned number
 */
record Globals(int page, long minimum, long maximumSigned, long maximumUnsigned, long size, long count, int report) {
    static final Globals NONE = new Globals(0, 0, 0, 0, 0, 0, 0);

    /** Unsigned if the minimum is not negative. */
    long maximum() {
        return minimum < 0 ? maximumSigned : maximumUnsigned;
    }

    Globals withPage(int other) {
        return new Globals(other, minimum, maximumSigned, maximumUnsigned, size, count, report);
    }

    Globals withMinimum(long other) {
        return new Globals(page, other, maximumSigned, maximumUnsigned, size, count, report);
    }

    Globals withMaximum(long signed, long unsigned) {
        return new Globals(page, minimum, signed, unsigned, size, count, report);
    }

    Globals withSize(long other) {
        return new Globals(page, minimum, maximumSigned, maximumUnsigned, other, count, report);
    }

    Globals withCount(long other) {
        return new Globals(page, minimum, maximumSigned, maximumUnsigned, size, other, report);
    }

    Globals withReport(int other) {
        return new Globals(page, minimum, maximumSigned, maximumUnsigned, size, count, other);
    }
}
