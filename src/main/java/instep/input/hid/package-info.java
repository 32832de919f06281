/** What a HID device says of its own reports: the report descriptor of the USB HID specification 1.11, and usages. */
@NullMarked
package instep.input.hid;

import org.jspecify.annotations.NullMarked;
