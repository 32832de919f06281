package instep.journal;

/** How many columns of a terminal a text takes: two for each wide character (Unicode Standard Annex 11), rather too many than too few. */
final class TextWidth {
    /** First and last code points of what is wide, or holds wide characters among others. */
    private static final int[][] WIDE = {
        {0x1100, 0x115F}, {0x2300, 0x23FF}, {0x25A0, 0x27BF}, {0x2B00, 0x2BFF}, {0x2E80, 0xA4CF}, {0xA960, 0xA97F},
        {0xAC00, 0xD7A3}, {0xF900, 0xFAFF}, {0xFE10, 0xFE6F}, {0xFF00, 0xFF60}, {0xFFE0, 0xFFE6}, {0x10000, 0x10FFFF}
    };

    private TextWidth() {}

    static int of(CharSequence text) {
        int columns = 0;
        for (int i = 0; i < text.length(); i++) {
            int point = Character.codePointAt(text, i);
            columns += of(point);
            i += Character.charCount(point) - 1;
        }
        return columns;
    }

    /** As much of the beginning as takes at most so many columns; no character is cut in two. */
    static String beginning(String text, int most) {
        int columns = 0;
        int end = 0;
        while (end < text.length()) {
            int point = text.codePointAt(end);
            columns += of(point);
            if (columns > most) {
                break;
            }
            end += Character.charCount(point);
        }
        return text.substring(0, end);
    }

    private static int of(int point) {
        for (int[] range : WIDE) {
            if (point <= range[1]) {
                return point < range[0] ? 1 : 2;
            }
        }
        return 1;
    }
}
