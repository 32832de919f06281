package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class DemoCommandTest {
    @Test
    void saysThatItsLessonIsForOtherPedals(@TempDir Path folder) throws IOException {
        Said said = Said.by(
                "demo", "--speed", "100", "--journal", folder.toString(), "--config", "config-examples/one-pedal.yaml");
        assertThat(said.code()).isEqualTo(2);
        assertThat(said.err().lines())
                .containsExactly(
                        "config-examples/pottery.performance: the configuration has no contact 'right'; it has floor.pedal",
                        "The demo's own lesson is for pedals named left, middle and right: name one for yours with --performance FILE; identify --record FILE writes one");
    }
}
