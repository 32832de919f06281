package instep.reference;

import static org.assertj.core.api.Assertions.fail;

import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Assumptions;

/**
 * Programs and libraries of Debian that tests check against, and what else this machine has to allow. Where one is missing the test is left out and says so; but where {@code CI=true} is set, as
 * {@code .ci/run} does, it fails: there a check that was left out would look like one that has passed.
 */
public final class Installed {
    private Installed() {}

    /** The file of a package, such as a header, has to be there. */
    public static void file(String path, String debianPackage) {
        needs(Files.exists(Path.of(path)), path, debianPackage, isCi());
    }

    /** A program has to be on the way where a shell looks. */
    public static void program(String name, String debianPackage) {
        boolean isThere = List.of(System.getenv().getOrDefault("PATH", "").split(File.pathSeparator)).stream()
                .anyMatch(place -> Files.isExecutable(Path.of(place, name)));
        needs(isThere, name, debianPackage, isCi());
    }

    /** Ends the test: a library that it needs could not be loaded. */
    public static void missing(String library, String debianPackage) {
        needs(false, library, debianPackage, isCi());
    }

    /** Ends the test unless a disk of its own could be mounted, which takes root. */
    public static void mounted(boolean isMounted) {
        unless(isMounted, "a small disk could not be mounted: run as root", isCi());
    }

    private static boolean isCi() {
        return "true".equals(System.getenv("CI"));
    }

    static void needs(boolean isThere, String what, String debianPackage, boolean isCi) {
        unless(isThere, what + " is needed to check against: apt-get install " + debianPackage, isCi);
    }

    private static void unless(boolean holds, String words, boolean isCi) {
        if (!holds && isCi) {
            fail(words);
        }
        Assumptions.assumeTrue(holds, words);
    }
}
