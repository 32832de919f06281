package instep.config;

import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.Optional;

/** Reads paths of files. */
final class Paths {
    private Paths() {}

    /** A path; one that is relative starts from the folder of the file in which it stands. */
    static Path read(Node node, Scalars scalars) {
        return read(node, folder(node), scalars);
    }

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

    /** The folder of the file in which something stands. */
    static Path folder(Node node) {
        String file = node.place().file();
        Path here = Path.of("");
        try {
            return Optional.ofNullable(Path.of(file).getParent()).orElse(here);
        } catch (InvalidPathException e) {
            return here;
        }
    }
}
