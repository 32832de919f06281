package instep.lab;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static java.util.stream.Collectors.joining;
import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * The life of the box: a new Debian under its own systemd, on which the package is installed; a kill, a loop that stands still, a cable that is pulled and a kill in a take, another mapping, a rule of udev for a box with raw reports, a sound card,
 * power that fails in the next take, another Java, a newer version, and the end. What is looked at is what the mixer was told, and what systemd says.
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

    /** What a person types as root stands in the pages as it was run here. */
    @Test
    void doesWhatThePagesTellToType() throws Exception {
        String pages =
                Files.readString(Path.of("docs/install.md")) + Files.readString(Path.of("docs/troubleshooting.md"));
        assertThat(job.lines("told"))
                .as(job::story)
                .hasSizeGreaterThan(8)
                .allSatisfy(line -> assertThat(pages.contains("\n" + line + "\n") || pages.contains("`" + line + "`"))
                        .as(line)
                        .isTrue());
        assertThat(job.lines("archive-anew")).as(job::story).last().isEqualTo("instep.jsa");
        assertThat(job.lines("joined")).as(job::story).last().asString().contains(" instep");
    }

    @Test
    void aFaultyMappingAtAStartLeavesTheLastGoodOneInForce() {
        assertThat(unit("stands-in", "ActiveState")).as(job::story).isEqualTo("active");
        assertThat(unit("stands-in", "StatusText"))
                .startsWith("on air wide, no take open, no gear, floor is not there; 1 fault: ")
                .contains("running with the mapping of ");
    }

    @Test
    void aFaultyMappingWithoutAGoodOneIsToldWhereThePersonLooksAndNotTriedAgain() {
        assertThat(unit("faulty", "ActiveState")).as(job::story).isEqualTo("failed");
        assertThat(unit("faulty", "NRestarts")).isEqualTo("0");
        assertThat(unit("faulty", "StatusText"))
                .startsWith("not started: /etc/instep/instep.yaml:")
                .contains("nonsense");
        assertThat(job.lines("errors"))
                .as("what systemd's journal has as errors")
                .anyMatch(line -> line.startsWith("/etc/instep/instep.yaml:") && line.contains("nonsense"));
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
        // The wheel while left is down; killed; home, the wheel, home; the loop stands still; home;
        // in a take the wheel, the cable is pulled; home, the wheel, killed; home, hands, home;
        // by another mapping glaze, home; with the box that sends raw reports hands, home; with a sound card and
        // without, home; in the next take the hands, to stay.
        assertThat(toldTheMixer("sink-1"))
                .as(job::story)
                .isEqualTo(
                        "CUT 1 CUT 2 CUT 1 CUT 2 CUT 1 CUT 1 CUT 2 CUT 1 CUT 2 CUT 1 CUT 3 CUT 1 CUT 4 CUT 1 CUT 3 CUT 1 CUT 1 CUT 1"
                                + " CUT 3");
    }

    @Test
    void aCableThatIsPulledInATakeIsSaidAndTheTakeGoesOn() {
        assertThat(unit("pulled", "StatusText")).isEqualTo("on air wide, take 1, 3 of 3 gear up, floor is not there");
        assertThat(unit("put-back", "StatusText")).isEqualTo("on air wide, take 1, 3 of 3 gear up");
    }

    @Test
    void aTakeInWhichItIsKilledGoesOnAndIsOneTake() {
        assertThat(unit("resumed", "NRestarts")).isEqualTo("3");
        assertThat(unit("resumed", "StatusText")).isEqualTo("on air wide, take 1, 3 of 3 gear up");
        assertThat(job.lines("cutlist").stream().filter(line -> line.startsWith("Take ")))
                .as(job::story)
                .hasSize(2);
        // One row each, though the second was broken off by the power.
        assertThat(job.lines("takes").stream().skip(1).map(line -> line.strip().split(" ")[0]))
                .as(job::story)
                .containsExactly("1", "2");
        assertThat(job.lines("takes").stream().skip(1)).allMatch(line -> line.contains("resumed after a gap"));
    }

    @Test
    void showsItsPageUnderTheUnit() {
        for (String page : List.of("desk", "glance", "health", "metrics")) {
            assertThat(job.lines("page-" + page)).as(job::story).first().isEqualTo("HTTP/1.1 200 OK");
        }
        assertThat(job.lines("page-desk")).anyMatch(line -> line.startsWith("<!DOCTYPE html>"));
        assertThat(job.lines("page-health")).last().isEqualTo("all is well");
        assertThat(job.lines("page-metrics"))
                .contains("instep_pedal_up{pedal=\"floor\"} 1", "instep_link_up{gear=\"mixer\"} 1")
                .last()
                .isEqualTo("# EOF"); // OpenMetrics 1.0.0
    }

    @Test
    void aMappingThatIsSavedInATakeIsInForceAfterIt() {
        List<JournalLine> journal = job.journal();
        List<JournalLine> fromThere = journal.stream()
                .dropWhile(line -> !line.text("text").contains("comes into force when take 1 is over"))
                .toList();
        assertThat(fromThere.stream()
                        .filter(line -> line.is("take-close") || line.is("config"))
                        .map(line -> line.text("kind"))
                        .limit(2))
                .as(job::story)
                .containsExactly("take-close", "config");
    }

    /** The kernel itself tells of it: timerfd_create(2), {@code TFD_TIMER_CANCEL_ON_SET}. It was set by three hours, and back after the take. */
    @Test
    void aClockThatIsSetInATakeIsSaidAndTheTakeKeepsItsTime() {
        List<JournalLine> take = job.journal().stream()
                .dropWhile(line -> !line.text("resumed").equals("true"))
                .takeWhile(line -> !line.is("take-close"))
                .toList();
        assertThat(take)
                .as(job::story)
                .anyMatch(line -> line.text("text").startsWith("this computer's clock was set: take 1 keeps the time"));
        assertThat(take.stream().map(BoxLabIT::clock).distinct()).hasSize(1);
        assertThat(job.journal().stream().map(line -> line.text("text")))
                .anyMatch(text -> text.startsWith("this computer's clock was set: the next take counts"));
        assertThat(job.journal())
                .as("nothing is of a time that was never true")
                .allMatch(line ->
                        Duration.between(clock(take.get(0)), clock(line)).abs().toMinutes() < 60);
    }

    /** When the monotonic time was 0. */
    private static Instant clock(JournalLine line) {
        return OffsetDateTime.parse(line.text("at")).toInstant().minusNanos(line.number("mono"));
    }

    /** systemd's own words, which it says when it is told to tell all: sd_notify(3), systemd.service(5). */
    @Test
    void saysThatItReloadsAndThenThatItIsReady() {
        assertThat(job.lines("reload-log").stream()
                        .filter(line -> line.contains("RELOADING=1") || line.contains("READY=1"))
                        .map(line -> line.contains("RELOADING=1") ? "reloading" : "ready"))
                .as(job::story)
                .containsExactly("reloading", "ready", "reloading", "ready");
        assertThat(unit("refused", "StatusText")).startsWith("on air wide, no take open, 3 of 3 gear up");
        assertThat(unit("refused", "ActiveState")).isEqualTo("active");
    }

    /** The node's owner is what udev made of the line, and what the service reads is what the kernel and systemd let it. */
    @Test
    void theLineThatIdentifyPrintsOpensTheBoxWithRawReportsAndNoOtherDevice() {
        assertThat(job.lines("identified"))
                .as(job::story)
                .anyMatch(line -> line.contains("can be read by you, but not by the service"));
        assertThat(job.lines("nodes-before"))
                .as("the foot switch, which types, and the box")
                .containsExactlyInAnyOrder(
                        "root 600 HID_ID=0003:00001209:00002303", "root 600 HID_ID=0003:00001209:0000B0B0");
        assertThat(job.lines("nodes-after"))
                .containsExactlyInAnyOrder(
                        "root 600 HID_ID=0003:00001209:00002303", "input 660 HID_ID=0003:00001209:0000B0B0");
        assertThat(job.lines("saved.yaml")).as(job::story).anyMatch(line -> line.contains("1209:b0b0"));
        assertThat(unit("opened", "StatusText")).isEqualTo("on air wide, no take open, 3 of 3 gear up");
    }

    /** What the page on installing has a person write. What is heard then, SoundLabIT holds; here the kernel says whether its card is in use, and by what right. */
    @Test
    void theTwoLinesForASoundCardLetTheServicePlayATone() throws Exception {
        List<String> lines = Files.readAllLines(Path.of("src/test/lab/jobs/box/sound.conf"));
        assertThat(Files.readAllLines(Path.of("docs/install.md")))
                .anyMatch(line -> line.contains("`" + lines.get(1) + "` and `" + lines.get(2) + "`"));
        assertThat(unit("sounding", "StatusText")).isEqualTo("on air wide, no take open, 4 of 4 gear up");
        assertThat(job.lines("sound-card")).as(job::story).isNotEmpty().doesNotContain("closed");
        assertThat(job.journal().stream()
                        .filter(line -> line.text("gear").equals("speaker") && !line.is("missed"))
                        .map(line -> line.text("kind") + line.text("state")))
                .as(job::story)
                .containsExactly("linklost", "linkup", "sent", "reply");
    }

    @Test
    void saysInWordsHowItStands() {
        assertThat(unit("wheel", "StatusText")).isEqualTo("on air wheel, no take open, 3 of 3 gear up");
        assertThat(unit("take", "StatusText")).isEqualTo("on air hands, take 2, 3 of 3 gear up");
    }

    @Test
    void isStartedAgainAfterAKill() {
        assertThat(unit("killed", "NRestarts")).isEqualTo("1");
        assertThat(job.lines("log-1")).anyMatch(line -> line.contains("code=killed, status=9/KILL"));
    }

    /** It was killed with a note of four earlier ends, which is its own to read and to write. */
    @Test
    void waitsBeforeItsNextStartWhenItHasEndedFiveTimesInARow() {
        assertThat(job.lines("log-1"))
                .as(job::story)
                .anyMatch(line -> line.endsWith(": ended 5 times in a row: starts again in 1 s"));
        assertThat(job.lines("paced"))
                .anyMatch(line -> line.matches("-rw-r----- .* instep +instep .* starts"))
                .last()
                .asString()
                .startsWith("6 ");
    }

    @Test
    void aLoopThatStandsStillIsEndedByTheWatchdogThoughAllOtherThreadsRun() {
        assertThat(job.lines("frozen")).first().asString().matches("[0-9]+");
        assertThat(unit("thawed", "NRestarts")).isEqualTo("2");
        assertThat(job.lines("log-1")).anyMatch(line -> line.contains("Watchdog timeout"));
    }

    @Test
    void comesUpByItselfWhenThePowerIsBackAndGoesOnWithTheTakeAndTheAngleThatWasLatched() {
        assertThat(toldTheMixer("sink-2")).as(job::story).isEqualTo("CUT 3 CUT 2 CUT 3 CUT 1");
        assertThat(unit("gone-on", "StatusText")).isEqualTo("on air hands, take 2, 3 of 3 gear up");
        assertThat(unit("rebooted", "NRestarts")).isEqualTo("0");
        assertThat(unit("rebooted", "StatusText")).isEqualTo("on air wide, no take open, 3 of 3 gear up");
    }

    /** The power was cut a second after the last cut, which is longer than the 100 ms of {@code durability}. */
    @Test
    void theJournalIsWholeAndHasAllThatTheMixerWasToldAcrossKillsAndThePowerCut() {
        assertThat(job.lines("verified")).as(job::story).last().isEqualTo("0");
        assertThat(job.journal().stream()
                        .filter(line -> line.is("sent") && line.text("gear").equals("mixer"))
                        .map(line -> line.text("what"))
                        .collect(joining(" ")))
                .as(job::story)
                .isEqualTo(toldTheMixer("sink-1") + " " + toldTheMixer("sink-2"));
    }

    @Test
    void theCutListHasBothTakesWithWhatCameBeforeAndAfterTheirBreaks() {
        assertThat(angles("Take 1"))
                .as(job::story)
                .containsExactly("wide", "wheel", "wide", "wheel", "wide", "hands", "wide");
        assertThat(angles("Take 2")).as(job::story).containsExactly("wide", "hands", "wheel", "hands", "wide");
        assertThat(job.lines("lesson-take1.edl")).anyMatch(line -> line.contains("HANDS"));
        assertThat(job.lines("lesson-take2.edl")).anyMatch(line -> line.contains("WHEEL"));
    }

    /** The shots of one take, as the cut list shows them. */
    private static List<String> angles(String take) {
        return job.lines("cutlist").stream()
                .dropWhile(line -> !line.startsWith(take))
                .skip(1)
                .takeWhile(line -> !line.startsWith("Take"))
                .filter(line -> line.matches(" +[0-9]+ .*"))
                .map(line -> line.strip().split(" +")[1])
                .toList();
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
