package instep.journal;

import java.nio.file.Path;

/**
 * What a crash or power cut had left after the last whole line of a journal file. It was cut off when the file was opened, and kept.
 *
 * @param bytes how much it was
 * @param keptIn where it is now
 */
public record TornTail(Path file, long bytes, Path keptIn) {
    /** A sentence for a person. */
    public String sentence() {
        return file.getFileName() + " ended in " + bytes
                + " bytes that are no whole line, as after a power cut; they were moved to " + keptIn.getFileName()
                + ", all lines before them are good";
    }
}
