package instep.time;

/**
 * Reads the text form of a label, strictly: two digits a field, the separator that belongs to the rate, and no label that
 * drop-frame counting skips. Before the frames of a drop-frame label {@code ;} {@code ,} and {@code .} are all in use in the
 * trade; {@code ;} is what is written.
 */
final class TimecodeText {
    private static final int LENGTH = 11;
    private static final String DROP_SEPARATORS = ";,.";

    private final String text;
    private final FrameRate rate;

    TimecodeText(String text, FrameRate rate) {
        this.text = text;
        this.rate = rate;
    }

    Timecode read() {
        checkShape();
        checkSeparators();
        long hours = field("hours", 0, 24);
        long minutes = hours * 60 + field("minutes", 3, 60);
        long seconds = minutes * 60 + field("seconds", 6, 60);
        long frames = field("frames", 9, rate.counted());
        boolean skipping = seconds % 60 == 0 && minutes % 10 != 0;
        if (skipping && frames < rate.dropped()) {
            throw skipped();
        }
        return new Timecode(
                rate, seconds * rate.counted() + frames - rate.dropped() * (minutes - Math.floorDiv(minutes, 10L)));
    }

    private void checkShape() {
        boolean shaped = text.length() == LENGTH;
        for (int i = 0; shaped && i < LENGTH; i++) {
            shaped = i % 3 == 2 || isDigit(text.charAt(i));
        }
        if (!shaped) {
            throw fault("is no timecode: write two digits each for hours, minutes, seconds and frames, such as "
                    + new Timecode(rate, 0));
        }
    }

    private void checkSeparators() {
        if (text.charAt(2) != ':' || text.charAt(5) != ':') {
            throw fault("needs a colon after the hours and after the minutes, such as " + new Timecode(rate, 0));
        }
        char last = text.charAt(8);
        if (rate.isDropFrame() && DROP_SEPARATORS.indexOf(last) < 0) {
            throw fault("has " + last + " before the frames, but " + rate.label() + " is drop-frame: write "
                    + text.substring(0, 8) + ";" + text.substring(9));
        }
        if (!rate.isDropFrame() && last != ':') {
            throw fault("has " + last + " before the frames, but " + rate.label() + " is not drop-frame: write "
                    + text.substring(0, 8) + ":" + text.substring(9));
        }
    }

    private int field(String name, int at, int limit) {
        int number = (text.charAt(at) - '0') * 10 + text.charAt(at + 1) - '0';
        if (number >= limit) {
            throw fault("has " + number + " " + name + ": at " + rate.label() + " they go from 00 to " + (limit - 1));
        }
        return number;
    }

    private TimeSyntaxException skipped() {
        String minute = text.substring(0, 6);
        return fault("does not exist: " + rate.label() + " skips frames 00 to 0" + (rate.dropped() - 1)
                + " at the start of every minute that is no multiple of ten; the first label of this minute is "
                + minute
                + "00;0" + rate.dropped());
    }

    private TimeSyntaxException fault(String what) {
        return new TimeSyntaxException("\"" + text + "\" " + what);
    }

    static boolean isDigit(char c) {
        return c >= '0' && c <= '9';
    }
}
