package instep.journal;

import java.io.IOException;
import java.nio.file.Path;

/** A whole line of a journal is not what was written; the message names the file and the line. */
public final class DamagedLineException extends IOException {
    private final long line;

    DamagedLineException(Path file, long line, String what) {
        super(file + ":" + line + ": " + what);
        this.line = line;
    }

    /** The line, counted from 1. */
    public long line() {
        return line;
    }
}
