package instep.config;

import java.nio.file.InvalidPathException;
import java.nio.file.Path;

/** Reads paths of files. */
final class Paths {
    private Paths() {}

    /** A path; one that is relative starts from the folder. */
    static Path read(Node node, Path folder, Scalars scalars) {
        String text = scalars.text(node, "the path of a file", "");
        try {
            return folder.resolve(text);
        } catch (InvalidPathException e) {
            scalars.faults()
                    .add(
                            node.place(),
                            "expected a path, found " + Words.quote(text)
                                    + ", which the system cannot name in its language setting (LANG)");
            return folder;
        }
    }
}
