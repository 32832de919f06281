package instep.config;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.catchThrowableOfType;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SourceFileTest {
    private static final String SOUND = "instep: 1\ntimecode: { rate: 25 }\nmachine: { states: { standby: } }\n";

    @TempDir
    Path folder;

    @Test
    void saysThatAFileIsMissing() {
        assertThat(faultOf(folder.resolve("no.yaml")))
                .isEqualTo(folder + "/no.yaml: there is no such file; expected a configuration");
    }

    @Test
    void saysThatAFolderIsNoFile() {
        assertThat(faultOf(folder)).isEqualTo(folder + ": this is a folder; expected a configuration");
    }

    /** A pipe that nobody writes: mkfifo(1) of the coreutils. */
    @Test
    void doesNotWaitForAPipe() throws Exception {
        Path pipe = folder.resolve("pipe.yaml");
        assertThat(new ProcessBuilder("mkfifo", pipe.toString()).start().waitFor())
                .isZero();
        assertThat(faultOf(pipe))
                .isEqualTo(pipe + ": this is a pipe or a device and no file; expected a configuration");
    }

    @Test
    void refusesAnEmptyFile() throws IOException {
        assertThat(faultOf(file(new byte[0]))).contains(":1:1: the file is empty");
    }

    @Test
    void refusesTenMegabytesOfAliasesByTheirSizeAlone() throws IOException {
        StringBuilder text = new StringBuilder("a: &a [1]\nb: [");
        while (text.length() < 10_000_000) {
            text.append("*a, ");
        }
        assertThat(faultOf(file(text.append("]\n").toString().getBytes(StandardCharsets.UTF_8))))
                .contains(": the file is larger than 256 KiB");
    }

    @Test
    void refusesAliasesThatAreMerelyMany() throws IOException {
        String text = "a: &a [1]\nb: [" + "*a, ".repeat(200) + "]\n";
        assertThat(faultOf(file(text.getBytes(StandardCharsets.UTF_8))))
                .contains(":2:405: there are more than 100 aliases");
    }

    @Test
    void namesThePlaceOfAByteThatIsNotUtf8() throws IOException {
        byte[] latin1 = "instep: 1\ntimecode: { rate: 25 } # für\n".getBytes(StandardCharsets.ISO_8859_1);
        assertThat(faultOf(file(latin1))).contains(":2:27: found a byte that is not UTF-8");
    }

    @Test
    void namesThePlaceOfACharacterThatYamlForbids() throws IOException {
        byte[] text = "instep: 1\n\u00e4: \u0007\n".getBytes(StandardCharsets.UTF_8);
        assertThat(faultOf(file(text)))
                .contains(":2:4: found the character U+0007")
                .doesNotContain("\u0007");
    }

    @Test
    void readsAFileWithAByteOrderMarkAndTheLineEndsOfOtherSystems() throws Exception {
        String text = "\ufeff" + SOUND.replace("\n", "\r\n");
        Path file = file(text.getBytes(StandardCharsets.UTF_8));

        assertThat(ConfigReader.read(file, TestKeys.CODES).text()).isEqualTo(text.substring(1));
    }

    @Test
    void countsColumnsFromTheFirstVisibleCharacter() throws IOException {
        String text = "\ufeffinstep: 2\r\n" + SOUND.substring(10).replace("\n", "\r\n");
        assertThat(faultOf(file(text.getBytes(StandardCharsets.UTF_8)))).contains(":1:9: expected 1");
    }

    @Test
    void startsRelativePathsFromTheFoldersOfTheFile() throws Exception {
        String text = SOUND + "journal: { folder: takes }\n"
                + "pedals: { floor: { performance: lesson.performance, contacts: [left] } }\n";

        Settings settings = ConfigReader.read(file(text.getBytes(StandardCharsets.UTF_8)), TestKeys.CODES);

        assertThat(settings.journal().folder()).isEqualTo(folder.resolve("takes"));
        assertThat(settings.pedals().toString()).contains(folder.resolve("lesson.performance") + ",");
    }

    private Path file(byte[] content) throws IOException {
        return Files.write(folder.resolve("file.yaml"), content);
    }

    private static String faultOf(Path file) {
        ConfigException refusal =
                catchThrowableOfType(ConfigException.class, () -> ConfigReader.read(file, TestKeys.CODES));
        assertThat(refusal.faults()).hasSize(1);
        return refusal.faults().get(0).place() + ": " + refusal.faults().get(0).text();
    }
}
