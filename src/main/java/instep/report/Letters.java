package instep.report;

/** What of a text may be shown: the journal holds whatever gear has said. */
final class Letters {
    private Letters() {}

    /** A character as it may be shown: what steers terminals, or the direction of writing, is not. */
    static String shown(int point) {
        int type = Character.getType(point);
        boolean hidden = type == Character.CONTROL
                || type == Character.FORMAT
                || type == Character.SURROGATE
                || type == Character.LINE_SEPARATOR
                || type == Character.PARAGRAPH_SEPARATOR;
        if (hidden) {
            return point == '\n' || point == '\t' || point == '\r' ? " " : "\uFFFD";
        }
        return Character.toString(point);
    }

    /** A text as it may be shown. */
    static String shown(String text) {
        StringBuilder out = new StringBuilder();
        text.codePoints().forEach(point -> out.append(shown(point)));
        return out.toString();
    }
}
