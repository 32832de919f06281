package instep.input;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashSet;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** The way on which a path leads to its file: the links on it, and the file. */
final class Route {
    /** As many as the kernel follows: path_resolution(7). */
    private static final int MOST_LINKS = 40;

    private Route() {}

    /** Each link, and the file at the end, by names without a link in front of the last; so another one in the place of any is a change in its own folder. */
    static Set<Path> to(Path file) {
        Set<Path> places = new LinkedHashSet<>();
        Path rest = file.toAbsolutePath();
        for (int links = 0; links <= MOST_LINKS; links++) {
            Path link = firstLink(rest);
            if (link == null) {
                places.add(rest.normalize());
                return places;
            }
            Path place = link.normalize();
            places.add(place);
            try {
                Path target = place.resolveSibling(Files.readSymbolicLink(place));
                rest = target.resolve(link.relativize(rest));
            } catch (IOException e) {
                return places; // gone meanwhile, of which its folder tells
            }
        }
        return places;
    }

    private static @Nullable Path firstLink(Path path) {
        for (int names = 1; names <= path.getNameCount(); names++) {
            Path at = path.getRoot().resolve(path.subpath(0, names));
            if (Files.isSymbolicLink(at)) {
                return at;
            }
        }
        return null;
    }

    /** What differs when another folder stands there; empty if none does. */
    static String folder(Path path) {
        try {
            return Files.readAttributes(path, "unix:dev,ino").toString();
        } catch (IOException e) {
            return "";
        }
    }

    /** What differs when the file is another one, has other contents or other permissions. */
    static String stamp(Path file) {
        try {
            return Files.readAttributes(file, "unix:ino,size,ctime").toString();
        } catch (IOException e) {
            return e.getClass().getSimpleName();
        }
    }
}
