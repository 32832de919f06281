package instep.config;

import instep.config.Node.Entry;
import instep.gesture.Threshold;
import instep.input.PedalSettings;
import instep.input.PedalSettings.ReportBits;
import instep.input.PedalSettings.ReportUsage;
import instep.input.hid.Usage;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/** Reads contacts that are in raw reports: usages of the device's own descriptor, or bits of a byte. */
final class ReportSignals {
    private static final int LAST_BYTE = 4095;
    private static final int LAST_REPORT = 255;
    private static final int ALL_BITS = 0xff;

    private final Scalars scalars;
    private final Signals signals;
    private final MovesReader moves;
    private final List<ReportBits> bits = new ArrayList<>();
    private final List<ReportUsage> usages = new ArrayList<>();

    ReportSignals(Scalars scalars, Signals signals, MovesReader moves) {
        this.scalars = scalars;
        this.signals = signals;
        this.moves = moves;
    }

    List<ReportBits> bits() {
        return bits;
    }

    List<ReportUsage> usages() {
        return usages;
    }

    void usage(int number, Fields fields, Entry entry) {
        String form = "a usage such as \"button 3\", \"consumer 0xE9\" or, by page and number, \"0xFF00:0x01\"";
        Node node = fields.get("usage");
        String text = node == null ? "" : scalars.text(node, form, "");
        Optional<Usage> usage = Usage.parse(text);
        int report = report(fields);
        Threshold threshold = ThresholdReader.read(fields, scalars);
        if (usage.isPresent()) {
            String shown = text + ofReport(report);
            signals.take(usage.get() + ofReport(report) + threshold, shown, entry);
            usages.add(new ReportUsage(number, report, usage.get(), threshold, moves.read(fields.get("moves"))));
        } else if (node != null && !text.isEmpty()) {
            scalars.expected(node, form);
        }
    }

    void bits(int number, Fields fields, Entry entry) {
        fields.require("byte", "expected the byte of the report, counted from 0");
        int report = report(fields);
        int index = fields.integer("byte", 0, LAST_BYTE, 0);
        ReportBits read = fields.has("mask") || fields.has("equals")
                ? masked(number, report, index, fields)
                : bit(number, report, index, fields);
        String place = " of byte " + index + ofReport(report);
        boolean one = Integer.bitCount(read.mask()) == 1 && read.equals() == read.mask();
        String shown = one
                ? "bit " + Integer.numberOfTrailingZeros(read.mask()) + place
                : "mask " + read.mask() + " equals " + read.equals() + place;
        signals.take(shown, shown, entry);
        bits.add(read);
    }

    private static ReportBits bit(int number, int report, int index, Fields fields) {
        fields.require("bit", "expected the bit of that byte, from 0 to 7, or a mask");
        int mask = 1 << fields.integer("bit", 0, 7, 0);
        return new ReportBits(number, report, index, mask, mask);
    }

    private ReportBits masked(int number, int report, int index, Fields fields) {
        fields.refuse("bit", "a mask is given");
        fields.require("mask", "expected the bits that are looked at, such as mask: 0x0f");
        int mask = fields.integer("mask", 1, ALL_BITS, ALL_BITS);
        int equals = fields.integer("equals", 0, ALL_BITS, mask);
        if ((equals & ~mask) != 0) {
            scalars.faults()
                    .add(
                            fields.placeOf("equals"),
                            "equals has bits that the mask has not, so that this contact would never close;"
                                    + " expected some of the mask's bits");
        }
        return new ReportBits(number, report, index, mask, equals);
    }

    private static int report(Fields fields) {
        return fields.integer("report", 1, LAST_REPORT, PedalSettings.ANY_REPORT);
    }

    private static String ofReport(int report) {
        return report == PedalSettings.ANY_REPORT ? "" : " of report " + report;
    }
}
