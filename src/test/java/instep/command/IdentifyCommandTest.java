package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class IdentifyCommandTest {
    @Test
    void saysThatNothingWasPressedToBeSaved(@TempDir Path folder) {
        Path file = folder.resolve("first.yaml");
        Said said = Said.by("identify", "--for", "40ms", "--save", file.toString());
        assertThat(said.code()).isEqualTo(1);
        assertThat(said.err())
                .isEqualTo("instep: no pedal was pressed, so " + file + " was not written" + System.lineSeparator());
        assertThat(file).doesNotExist();
    }
}
