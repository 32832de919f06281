package instep.input;

/** A performance that cannot be played; the message is {@code file:line: sentence}. */
public final class PerformanceException extends Exception {
    private final int line;
    private final String sentence;

    /**
     * A fault.
     *
     * @param line counted from 1; 0 for the file as a whole
     */
    /** A fault at a line, counted from 1; 0 for the file as a whole. */
    public PerformanceException(String file, int line, String sentence) {
        super(file + ":" + (line > 0 ? line + ":" : "") + " " + sentence);
        this.line = line;
        this.sentence = sentence;
    }

    /** The line, counted from 1; 0 for the file as a whole. */
    public int line() {
        return line;
    }

    /** What is wrong and what was expected. */
    public String sentence() {
        return sentence;
    }
}
