package instep.lab;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** The program as an ordinary user, whom the kernel forbids to read the pedal, and then allows. */
@Tag("lab")
final class DeniedLabIT {
    private static LabJob job;
    private static List<JournalLine> journal = List.of();

    @BeforeAll
    static void playWithoutPermission() throws Exception {
        job = LabJob.run("denied");
        journal = job.journal();
    }

    @Test
    void theNodeThatMayNotBeReadIsNamedToThePerson() {
        String node = job.played().get(0).rest().split(" ", 2)[0];
        assertThat(job.lines("event-log")).as(job::story).anyMatch(line -> line.contains(node));
    }

    @Test
    void thePedalIsTakenUpOnceItMayBeRead() {
        assertThat(journal.stream()
                        .filter(line -> line.is("device") && line.text("pedal").equals("floor"))
                        .map(line -> line.text("state").toLowerCase(Locale.ROOT))
                        .filter(state -> !state.equals("absent")))
                .as(job::story)
                .containsExactly("denied", "up");
        assertThat(journal.stream().filter(line -> line.isEdgeOf("floor")).map(line -> line.flag("closed")))
                .as(job::story)
                .containsExactly(true, false);
    }

    @Test
    void itEndsWellOnATerminationSignal() {
        assertThat(job.lines("program-status")).as(job::story).containsExactly("0");
    }
}
