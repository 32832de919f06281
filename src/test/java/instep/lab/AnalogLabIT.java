package instep.lab;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** Axes, hats, dials and usages on a real kernel: {@code src/test/lab/jobs/analog/pedals}. */
@Tag("lab")
final class AnalogLabIT {
    private static final long TENTH_OF_A_SECOND = 100_000_000;

    private static LabJob job;
    private static List<Sunk> sunk = List.of();
    private static List<JournalLine> journal = List.of();

    @BeforeAll
    static void play() throws Exception {
        job = LabJob.run("analog");
        sunk = job.lines("sink").stream().map(Sunk::parse).toList();
        journal = job.journal();
    }

    @Test
    void aPedalThatIsDownAlreadyIsJournalledAndNoPress() {
        assertThat(lines("device").map(line -> line.text("detail")))
                .as(job::story)
                .anyMatch(detail -> detail.contains("ABS_Z is beyond its threshold already"));
    }

    /** Without it raw devices are found by sysfs alone, which is said. */
    @Test
    void hid4JavaListsTheDevicesOfThisKernel() {
        assertThat(lines("device").map(line -> line.text("detail")))
                .as(job::story)
                .anyMatch(detail -> detail.contains("reads /dev/hidraw"))
                .noneMatch(detail -> detail.contains("hid4java"));
    }

    // 60% of 255 is 153, 40% is 102; hid-input maps the hat's eight directions to axes of -1 to 1
    @Test
    void axesAndHatsCloseAndOpenAtTheirThresholds() {
        assertThat(edges("swell"))
                .as(job::story)
                .containsExactly(
                        "swell.foot closed",
                        "swell.foot open",
                        "swell.left closed",
                        "swell.left open",
                        "swell.right closed",
                        "swell.right open",
                        "swell.more closed",
                        "swell.more open",
                        "swell.more closed",
                        "swell.more open",
                        "swell.less closed",
                        "swell.less open",
                        "swell.foot closed",
                        "swell.foot lost");
    }

    @Test
    void everyDetentIsAGesture() {
        assertThat(told().stream().filter("MORE"::equals)).as(job::story).hasSize(2);
    }

    @Test
    void positionsAreSentNoMoreOftenThanTheyMayAndTheLastAlways() {
        assertThat(told().stream().filter(line -> line.startsWith("LEVEL")))
                .as(job::story)
                .containsSubsequence(
                        "LEVEL 90", "LEVEL 160", "LEVEL 90", "LEVEL 0", "LEVEL 20", "LEVEL 51", "LEVEL 255")
                .doesNotContain("LEVEL 40", "LEVEL 60", "LEVEL 80");
        long[] at = lines("position").mapToLong(line -> line.number("mono")).toArray();
        for (int i = 1; i < at.length; i++) {
            assertThat(at[i] - at[i - 1]).as(job::story).isGreaterThanOrEqualTo(TENTH_OF_A_SECOND);
        }
    }

    @Test
    void ofTwoInterfacesTheOneWithTheUsagesIsReadByTheNumbersOfItsReports() {
        assertThat(edges("box"))
                .as(job::story)
                .containsExactly("box.red closed", "box.level closed", "box.red open", "box.level lost");
    }

    /** Report 3 has its number before its bytes; a device that numbers none gets a 0 there (Documentation/hid/hidraw.rst). */
    @Test
    void lampsOfPedalsAreSentTheirReports() {
        assertThat(job.played().stream()
                        .filter(line -> line.what().equals("output"))
                        .map(line -> line.device() + " " + line.rest()))
                .as(job::story)
                .containsExactlyInAnyOrder("box 0381", "swell 000201", "box 0300");
        assertThat(lines("sent")
                        .filter(line -> !line.text("gear").equals("mixer"))
                        .map(line -> line.text("gear") + " " + line.text("what")))
                .as(job::story)
                .containsExactlyInAnyOrder("signs report 3: 81", "pilot report 02 01", "signs report 3: 00");
        assertThat(lines("link").map(line -> line.text("gear") + " " + line.text("state")))
                .as(job::story)
                .contains("signs up", "pilot up", "signs lost", "pilot lost");
        assertThat(lines("link")
                        .filter(line -> line.text("state").equals("up")
                                && !line.text("gear").equals("mixer"))
                        .map(line -> line.text("why")))
                .as(job::story)
                .allMatch(why -> why.endsWith(", by hid4java"));
        assertThat(lines("missed").map(line -> line.text("gear") + " " + line.text("what")))
                .as(job::story)
                .containsExactly("signs report 3: 7f");
    }

    @Test
    void nothingIsSaidOnStandardError() {
        assertThat(job.lines("errors")).as(job::story).isEmpty();
        assertThat(job.lines("program-status")).as(job::story).containsExactly("0");
        assertThat(lines("fault")).as(job::story).isEmpty();
    }

    private static Stream<JournalLine> lines(String kind) {
        return journal.stream().filter(line -> line.is(kind));
    }

    private static List<String> edges(String pedal) {
        return journal.stream()
                .filter(line -> line.isEdgeOf(pedal))
                .map(line -> line.text("contact")
                        + (line.flag("closed") ? " closed" : line.flag("lost") ? " lost" : " open"))
                .toList();
    }

    private static List<String> told() {
        return new String(Sunk.bytesTo("mixer", sunk), ISO_8859_1).lines().toList();
    }
}
