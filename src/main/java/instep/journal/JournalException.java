package instep.journal;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.Objects;

/** The journal cannot be kept or read; the message says which folder or file, why, and what to do. */
public class JournalException extends IOException {
    /** What to do where the folder is the service's own. */
    public static final String NOT_OF_THE_GROUP = "If it is the service's own, this user is not of the group instep:"
            + " sudo adduser $USER instep, and log in again; or use sudo.";

    JournalException(String message) {
        super(message);
    }

    private JournalException(String message, IOException cause) {
        super(message, cause);
    }

    static JournalException unwritable(Path folder, IOException cause) {
        return new JournalException(
                "cannot keep a journal in " + folder.toAbsolutePath() + ": " + reason(cause)
                        + ". Give the user that instep runs as (" + System.getProperty("user.name")
                        + ") a folder it may write to, or name another folder.",
                cause);
    }

    /** The cause in words, without the name of a class. */
    static String reason(IOException cause) {
        if (cause instanceof AccessDeniedException) {
            return "permission denied";
        }
        if (cause instanceof FileAlreadyExistsException) {
            return "there is a file of that name, not a folder";
        }
        if (cause instanceof NoSuchFileException) {
            return "no such file or folder";
        }
        if (cause instanceof FileSystemException system && system.getReason() != null) {
            return Objects.requireNonNull(system.getReason());
        }
        return Objects.requireNonNullElse(cause.getMessage(), cause.getClass().getSimpleName());
    }
}
