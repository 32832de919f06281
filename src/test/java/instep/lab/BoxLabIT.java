package instep.lab;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * The life of the box: a new Debian under its own systemd, on which the package is installed; a kill, a loop that stands still, power that fails in the middle of a
 * take, another Java, a newer version, and the end. What is looked at is what the mixer was told, and what systemd says.
 */
@Tag("lab")
final class BoxLabIT {
    private static LabJob job;

    @BeforeAll
    static void liveThroughIt() throws Exception {
        job = LabJob.run("box");
    }

    private static String toldTheMixer(String log) {
        List<Sunk> sunk = job.lines(log).stream().map(Sunk::parse).toList();
        return new String(Sunk.bytesTo("mixer", sunk), US_ASCII)
                .replace("\r\n", " ")
                .strip();
    }

    private static String unit(String when, String property) {
        return job.lines("unit-" + when).stream()
                .filter(line -> line.startsWith(property + "="))
                .map(line -> line.substring(property.length() + 1))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void isInstalledByOnePackageAndStartsAtOnceAndAtBoot() {
        assertThat(unit("installed", "ActiveState")).as(job::story).isEqualTo("active");
        assertThat(unit("installed", "StatusText")).isEqualTo("on air wide, no take open, no gear, floor is not there");
        assertThat(job.lines("enabled")).containsExactly("enabled");
        assertThat(job.lines("archive")).as("the class archive").anyMatch(line -> line.endsWith(" instep.jsa"));
        assertThat(job.lines("version")).first().asString().startsWith("instep 0.");
        assertThat(job.lines("install")).noneMatch(line -> line.contains("rror"));
    }

    @Test
    void aFaultyMappingIsToldWhereThePersonLooksAndNotTriedAgain() {
        assertThat(unit("faulty", "ActiveState")).as(job::story).isEqualTo("failed");
        assertThat(unit("faulty", "NRestarts")).isEqualTo("0");
        assertThat(unit("faulty", "StatusText"))
                .startsWith("not started: /etc/instep/instep.yaml:")
                .contains("nonsense");
    }

    /** The file is root's and of mode 0600; systemd hands it over. */
    @Test
    void aSecretThatRootAloneMayReadReachesTheGear() {
        List<Sunk> sunk = job.lines("sink-1").stream().map(Sunk::parse).toList();
        assertThat(new String(Sunk.bytesTo("recorder", sunk), US_ASCII))
                .as(job::story)
                .containsIgnoringCase("Authorization: Bearer clay-and-water-7\r\n");
    }

    @Test
    void eachTimeItComesBackTheMixerIsToldTheRightAngleAndThePedalWorks() {
        // The wheel while left is down; killed; home, the wheel, home; the loop stands still; home; the wheel in a
        // take.
        assertThat(toldTheMixer("sink-1")).as(job::story).isEqualTo("CUT 1 CUT 2 CUT 1 CUT 2 CUT 1 CUT 1 CUT 2");
    }

    @Test
    void saysInWordsHowItStands() {
        assertThat(unit("wheel", "StatusText")).isEqualTo("on air wheel, no take open, 3 of 3 gear up");
        assertThat(unit("take", "StatusText")).isEqualTo("on air wheel, take 1, 3 of 3 gear up");
    }

    @Test
    void isStartedAgainAfterAKill() {
        assertThat(unit("killed", "NRestarts")).isEqualTo("1");
        assertThat(job.lines("log-1")).anyMatch(line -> line.contains("code=killed, status=9/KILL"));
    }

    @Test
    void aLoopThatStandsStillIsEndedByTheWatchdogThoughAllOtherThreadsRun() {
        assertThat(job.lines("frozen")).first().asString().matches("[0-9]+");
        assertThat(unit("thawed", "NRestarts")).isEqualTo("2");
        assertThat(job.lines("log-1")).anyMatch(line -> line.contains("Watchdog timeout"));
    }

    @Test
    void comesUpByItselfWhenThePowerIsBack() {
        assertThat(toldTheMixer("sink-2")).as(job::story).isEqualTo("CUT 1 CUT 2 CUT 1");
        assertThat(unit("rebooted", "NRestarts")).isEqualTo("0");
        assertThat(unit("rebooted", "StatusText")).isEqualTo("on air wide, no take open, 3 of 3 gear up");
    }

    @Test
    void theJournalIsWholeAndHoldsTheTakeThatThePowerCutShort() {
        assertThat(job.lines("verified")).as(job::story).last().isEqualTo("0");
        List<JournalLine> journal = job.journal();
        assertThat(journal.stream().filter(line -> line.is("take-open"))).hasSize(1);
        assertThat(journal.stream()
                        .dropWhile(line -> !line.is("take-open"))
                        .takeWhile(line -> !line.is("start"))
                        .filter(line -> line.is("cut"))
                        .map(line -> line.text("angle")))
                .as(job::story)
                .contains("wheel");
        assertThat(job.lines("lesson.edl")).anyMatch(line -> line.contains("WHEEL"));
    }

    @Test
    void theJournalsAreOfTheServicesUserAndForItsGroupToRead() {
        assertThat(job.lines("state-folder"))
                .as(job::story)
                .anyMatch(line -> line.matches("drwxr-x--- .* instep +instep .* /var/lib/instep"))
                .anyMatch(line -> line.matches("-rw-r----- .* instep +instep .*\\.jsonl"))
                .anyMatch(line -> line.matches("-rw-r----- .* instep +instep .*/events.log"));
    }

    @Test
    void anotherJavaGetsAnotherClassArchiveAndLeavesARunningDeskAlone() {
        assertThat(job.lines("java-upgrade")).as(job::story).endsWith("made anew", "not disturbed");
    }

    @Test
    void anUpgradeKeepsTheMappingThatThePersonWrote() {
        assertThat(job.lines("config-kept")).isEqualTo(job.lines("config-written"));
        assertThat(unit("upgraded", "ActiveState")).isEqualTo("active");
    }

    @Test
    void removedItLeavesTheMappingAndTheJournalsAndPurgedTheJournalsAlone() {
        assertThat(job.lines("left-before")).isEmpty();
        assertThat(unit("removed", "ActiveState")).isEqualTo("inactive");
        assertThat(job.lines("left-removed").stream().filter(BoxLabIT::isNotKept))
                .as(job::story)
                .isEmpty();
        assertThat(job.lines("left-removed")).contains("/etc/instep/instep.yaml");
        Stream<String> purged = job.lines("left-purged").stream().filter(line -> !line.startsWith("/var/lib/instep"));
        assertThat(purged).as(job::story).isEmpty();
        assertThat(job.lines("left-purged")).anyMatch(line -> line.matches("/var/lib/instep/.*\\.jsonl"));
        assertThat(job.lines("purge")).anyMatch(line -> line.contains("stay in /var/lib/instep"));
    }

    /** dpkg keeps its own notes of a package whose configuration is still there; so does deb-systemd-helper. */
    private static boolean isNotKept(String path) {
        return !path.startsWith("/etc/instep")
                && !path.startsWith("/var/lib/instep")
                && !path.startsWith("/var/lib/dpkg/info/instep.")
                && !path.startsWith("/var/lib/systemd/deb-systemd-helper-")
                && !path.startsWith("/etc/systemd/system/multi-user.target.wants/");
    }
}
