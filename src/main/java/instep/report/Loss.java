package instep.report;

/**
 * Something that a format cannot say.
 *
 * @param format the end of its files' names
 * @param words a sentence
 */
public record Loss(String format, String words) {}
