package instep.journal;

import java.util.function.Consumer;

/**
 * Who reads along on the journal's thread.
 *
 * @param eventLog takes the lines for people
 * @param watch sees each record before its lines
 */
record Readers(Consumer<String> eventLog, Watch watch) {}
