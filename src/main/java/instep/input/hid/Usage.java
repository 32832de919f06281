package instep.input.hid;

import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * What a control is for: the number of a page and a number on it, as the HID Usage Tables list them.
 *
 * @param page 0 to 0xffff, such as 9 for buttons
 * @param id 0 to 0xffff
 */
public record Usage(int page, int id) {
    private static final int LARGEST = 0xffff;
    private static final Pattern NAMED = Pattern.compile("([a-z]+) (0x[0-9a-fA-F]{1,4}|[0-9]{1,5})");
    private static final Pattern NUMBERED = Pattern.compile("0x([0-9a-fA-F]{1,4}):0x([0-9a-fA-F]{1,4})");
    /** The pages that have words (HID Usage Tables 1.12, table 1). */
    private static final Map<String, Integer> PAGES = pages();

    private static final int BUTTON = 0x09;

    private static Map<String, Integer> pages() {
        Map<String, Integer> pages = new LinkedHashMap<>();
        pages.put("desktop", 0x01);
        pages.put("simulation", 0x02);
        pages.put("keyboard", 0x07);
        pages.put("button", BUTTON);
        pages.put("telephony", 0x0b);
        pages.put("consumer", 0x0c);
        return pages;
    }

    /** Reads {@code button 3}, {@code consumer 0xE9} or, page and number, {@code 0xFF00:0x01}. */
    public static Optional<Usage> parse(String text) {
        Matcher named = NAMED.matcher(text);
        if (named.matches() && PAGES.containsKey(named.group(1))) {
            int id = Integer.decode(withoutZeros(named.group(2)));
            return id > LARGEST ? Optional.empty() : Optional.of(new Usage(PAGES.get(named.group(1)), id));
        }
        Matcher numbered = NUMBERED.matcher(text);
        return numbered.matches()
                ? Optional.of(
                        new Usage(Integer.parseInt(numbered.group(1), 16), Integer.parseInt(numbered.group(2), 16)))
                : Optional.empty();
    }

    /** Nobody means an octal number. */
    private static String withoutZeros(String number) {
        return number.startsWith("0x") ? number : number.replaceFirst("^0+(?=.)", "");
    }

    /** As it is written in a configuration. */
    public String words() {
        return PAGES.entrySet().stream()
                .filter(named -> named.getValue() == page)
                .findFirst()
                .map(named -> named.getKey() + " " + (page == BUTTON ? String.valueOf(id) : hex(id)))
                .orElseGet(() -> hex(page) + ":" + hex(id));
    }

    private static String hex(int number) {
        return String.format(Locale.ROOT, "0x%02x", number);
    }
}
