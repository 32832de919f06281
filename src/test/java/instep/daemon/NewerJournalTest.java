package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.input.Performance;
import instep.journal.JournalException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Somebody has gone back to an earlier version of the program. */
class NewerJournalTest {
    @TempDir
    private Path folder;

    /** It would count the takes of the day from 1 again, and write into a file that it cannot read itself. */
    @Test
    void isRefusedBeforeAnythingIsWritten() throws Exception {
        Path file = new WrittenJournal(LocalDate.now(ZoneId.systemDefault()).toString())
                .record(
                        0,
                        "start",
                        "\"format\":2,\"version\":\"9.0.0\",\"file\":\"lesson.yaml\",\"pid\":1,\"rate\":\"25\"")
                .open(0, 1)
                .into(folder);
        byte[] before = Files.readAllBytes(file);
        Settings settings = ConfigReader.parse("lesson.yaml", DeskRig.CONFIGURATION);
        Performance edges = Performance.parse("one", "0.1 floor.left close\n");
        assertThatThrownBy(() -> Daemon.start(settings, new Daemon.Options(folder, 1, Optional.of(edges), false)))
                .isInstanceOf(JournalException.class)
                .hasMessage(file
                        + ":1: this journal is of the format 2, which instep 9.0.0 wrote; this one reads formats up to"
                        + " 1. Use that newer instep, or keep the journal of this one in another folder.");
        assertThat(folder).isDirectoryNotContaining("glob:**/events.log");
        assertThat(file).hasBinaryContent(before);
    }
}
