package instep.command;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/** A file that a command is to write. Its folder has to be there: a folder that nobody has made is a slip of the keys more often than a wish. */
final class OutputFile {
    private OutputFile() {}

    /** Why it cannot be written, before any work is done; empty if it can. */
    static Optional<String> hindrance(Path file) {
        Path folder = file.toAbsolutePath().getParent();
        boolean isGood = folder != null && Files.isDirectory(folder) && Files.isWritable(folder);
        return isGood
                ? Optional.empty()
                : Optional.of(file + " cannot be written: " + folder + " is no folder in which this user may write.");
    }

    /** Whether all can be written; else it has told of the first that cannot. */
    static boolean canWrite(List<Path> files) {
        Optional<String> first =
                files.stream().flatMap(file -> hindrance(file).stream()).findFirst();
        first.ifPresent(why -> System.err.println("instep: " + why));
        return first.isEmpty();
    }
}
