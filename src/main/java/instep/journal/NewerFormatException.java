package instep.journal;

import java.nio.file.Path;

/** A later version of the program wrote that journal, and this one does not know what it says. */
public final class NewerFormatException extends JournalException {
    NewerFormatException(Path file, long line, Number format, String version) {
        super(file + ":" + line + ": this journal is of the format " + format + ", which instep " + version
                + " wrote; this one reads formats up to " + JournalReader.FORMAT
                + ". Use that newer instep, or keep the journal of this one in another folder.");
    }
}
