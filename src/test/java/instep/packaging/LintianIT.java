package instep.packaging;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Stream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** What lintian, Debian's checker of packages, says of ours. */
@Tag("lab")
class LintianIT {
    @Test
    void lintianFindsNoErrorAndNothingToWarnOf() throws Exception {
        Path jar = Path.of(System.getProperty("instep.jar", "target/instep.jar"));
        try (Stream<Path> files = Files.list(jar.toAbsolutePath().getParent())) {
            String deb = files.map(Path::toString)
                    .filter(file -> file.matches(".*/instep_[^/]*_all\\.deb"))
                    .findFirst()
                    .orElseThrow();
            Process lintian = new ProcessBuilder("lintian", "--fail-on", "error,warning", deb)
                    .redirectErrorStream(true)
                    .start();
            String said = new String(lintian.getInputStream().readAllBytes(), UTF_8);
            assertThat(lintian.waitFor()).as(said).isZero();
        }
    }
}
