package instep.input;

import instep.gesture.Threshold;
import instep.input.PedalSettings.ReportBits;
import instep.input.PedalSettings.ReportUsage;
import instep.input.hid.InputField;
import instep.input.hid.ReportDescriptor;
import instep.input.hid.Usage;
import instep.input.hid.UsageRange;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;

/** Where the contacts of a pedal unit are in the reports of a device. */
final class ReportLayout {
    /** So many ranges of usages are told of a device that lacks one. */
    private static final int MOST_NAMED = 8;

    private final ReportDescriptor descriptor;
    private final PedalSettings.Reports pedal;

    /**
     * A layout.
     *
     * @param descriptor the device's own words
     */
    ReportLayout(PedalSettings.Reports pedal, byte[] descriptor) {
        this.pedal = pedal;
        this.descriptor = ReportDescriptor.parse(descriptor);
    }

    /** In words, a usage, or a page of them, that is configured and that the device does not have. */
    Optional<String> lacking() {
        if (pedal.page() != PedalSettings.ANY_PAGE
                && descriptor.applications().stream().noneMatch(one -> one.page() == pedal.page())) {
            return Optional.of(
                    "collection of the usage page " + String.format("0x%02X", pedal.page()) + "; " + whatItIs());
        }
        return pedal.usages().stream()
                .filter(usage -> control(usage).isEmpty())
                .map(usage -> usage.usage().words() + where(usage.report()) + " in its reports; " + whatThereIs())
                .findFirst();
    }

    /** The contacts that there are. */
    List<ReportContact> contacts() {
        List<ReportContact> contacts = new ArrayList<>();
        for (ReportBits bits : pedal.bits()) {
            Control control = Control.bits(bits.byteIndex(), bits.mask(), bits.equals());
            contacts.add(new ReportContact(bits.contact(), bits.report(), control, Threshold.DEFAULT, false));
        }
        for (ReportUsage usage : pedal.usages()) {
            control(usage).ifPresent(contacts::add);
        }
        return contacts;
    }

    private Optional<ReportContact> control(ReportUsage wanted) {
        for (InputField field : descriptor.fields()) {
            boolean mayBe = (wanted.report() == PedalSettings.ANY_REPORT || wanted.report() == field.report())
                    && field.size() <= Integer.SIZE
                    && !field.isRelative();
            if (mayBe && field.place(wanted.usage()).isPresent()) {
                int place = field.place(wanted.usage()).getAsInt();
                Control control = field.isArray() ? Control.element(field, place) : Control.variable(field, place);
                int report = descriptor.isNumbered() ? field.report() : PedalSettings.ANY_REPORT;
                return Optional.of(new ReportContact(
                        wanted.contact(), report, control, wanted.threshold(), wanted.moves() != null));
            }
        }
        return Optional.empty();
    }

    private static String where(int report) {
        return report == PedalSettings.ANY_REPORT ? "" : " of report " + report;
    }

    private String whatItIs() {
        String names = descriptor.applications().stream().map(Usage::words).collect(Collectors.joining(", "));
        return names.isEmpty() ? "its report descriptor names none" : "there is " + names;
    }

    private String whatThereIs() {
        if (!descriptor.fault().isEmpty()) {
            return "its report descriptor cannot be read (" + descriptor.fault() + "); name byte and bit instead";
        }
        String names = descriptor.fields().stream()
                .filter(field -> !field.isRelative())
                .flatMap(field -> field.usages().stream())
                .limit(MOST_NAMED)
                .map(UsageRange::words)
                .collect(Collectors.joining(", "));
        return names.isEmpty() ? "its reports name no usages" : "there is " + names;
    }
}
