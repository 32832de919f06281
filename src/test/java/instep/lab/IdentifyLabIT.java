package instep.lab;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.gesture.Contact;
import instep.input.Performance;
import java.util.List;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** Each kind of device is pressed once for {@code identify --save}, and what that wrote is run as it is: {@code src/test/lab/jobs/identify}. */
@Tag("lab")
final class IdentifyLabIT {
    private static LabJob job;
    private static List<JournalLine> journal = List.of();

    @BeforeAll
    static void pressAndRun() throws Exception {
        job = LabJob.run("identify");
        journal = job.journal();
    }

    private static Settings saved() throws Exception {
        return ConfigReader.read(job.folder().resolve("first.yaml"));
    }

    @Test
    void everyPedalThatWasPressedIsAContactAndNoOther() throws Exception {
        assertThat(saved().contacts().stream().map(Contact::fullName))
                .as(job::story)
                .containsExactlyInAnyOrder(
                        "floor.first",
                        "floor.second",
                        "box.third",
                        "unit-3.fourth",
                        "unit-4.fifth",
                        "unit-5.sixth",
                        "unit-6.contact-7",
                        "unit-7.contact-8");
    }

    @Test
    void whatWasSavedHearsEveryPedalAsItStands() {
        assertThat(journal.stream()
                        .filter(line -> line.is("edge") && line.flag("closed"))
                        .map(line -> line.text("contact")))
                .as(job::story)
                .containsExactly(
                        "floor.first",
                        "floor.second",
                        "box.third",
                        "unit-3.fourth",
                        "unit-4.fifth",
                        "unit-5.sixth",
                        "unit-6.contact-7",
                        "unit-7.contact-8",
                        "floor.first");
    }

    /** They are alike, and at the start of the run the second is there without the first: every press after that is heard as if nothing had happened. */
    @Test
    void eachOfTheTwoThatAreAlikeIsKnownByItsPort() throws Exception {
        assertThat(job.lines("first.yaml"))
                .as(job::story)
                .contains(
                        "    match: { usb: \"1209:2303\", phys: \"lab/floor\" }",
                        "    match: { usb: \"1209:2303\", phys: \"lab/twin/input0\" }");
        assertThat(journal.stream()
                        .filter(line -> line.is("device"))
                        .map(line -> line.text("pedal") + " " + line.text("state")))
                .as(job::story)
                .startsWith("floor absent", "box up")
                .contains("floor up");
    }

    @Test
    void aTakeBeginsAndEndsAndThePedalsBetweenCutAndReturn() {
        assertThat(journal.stream().filter(line -> line.is("take-open")))
                .as(job::story)
                .hasSize(1);
        assertThat(journal.stream().filter(line -> line.is("take-close")))
                .as(job::story)
                .hasSize(1);
        assertThat(journal.stream().filter(line -> line.is("cut")).map(line -> line.text("angle")))
                .as(job::story)
                .containsExactly(
                        "wide", "wheel", "wide", "hands", "wide", "glaze", "wide", "glaze", "wide", "glaze", "wide",
                        "glaze", "wide", "glaze", "wide");
        assertThat(journal.stream().filter(line -> line.is("fault")))
                .as(job::story)
                .isEmpty();
    }

    @Test
    void theRecordedPerformanceHasEachPressAndRelease() throws Exception {
        Performance feet = Performance.read(job.folder().resolve("feet.performance"));
        assertThat(feet.edges()).as(job::story).hasSize(16);
        assertThat(feet.contacts()).hasSize(8).contains("first", "contact-8");
    }

    @Test
    void bothProgramsEndWellOnATerminationSignal() {
        assertThat(job.lines("program-status")).as(job::story).containsExactly("0");
    }
}
