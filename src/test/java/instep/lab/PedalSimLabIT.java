package instep.lab;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** What the lab's own pedals do on a real kernel; if this fails, nothing that the other jobs say counts. */
@Tag("lab")
final class PedalSimLabIT {
    private static final long HALF_MILLISECOND = 500_000;
    private static LabJob job;

    @BeforeAll
    static void playOnBareNodes() throws Exception {
        job = LabJob.run("nodes");
    }

    @Test
    void keysAndButtonsGetEventNodesAndAVendorPageGetsNone() {
        assertThat(plugged("floor")).matches("/dev/input/event\\d+ /dev/hidraw\\d+");
        assertThat(plugged("desk")).matches("/dev/input/event\\d+ /dev/hidraw\\d+");
        assertThat(plugged("box")).matches("/dev/hidraw\\d+");
    }

    // Key codes: linux/input-event-codes.h, KEY_A 30, KEY_B 48, KEY_C 46, BTN_TRIGGER 288, BTN_BASE2 295.
    @Test
    void pressesArriveAsTheKeysOfTheReportDescriptor() {
        assertThat(keys("onlooker-floor").subList(0, 6))
                .as(job::story)
                .containsExactly("30 1", "30 0", "48 1", "48 0", "46 1", "46 0");
        assertThat(keys("onlooker-desk")).as(job::story).containsExactly("288 1", "288 0", "295 1", "295 0");
    }

    @Test
    void theKernelStampsEachPressWhileItIsMade() {
        List<Played> made = job.played().stream()
                .filter(played ->
                        played.what().equals("report") && played.device().equals("floor"))
                .toList();
        List<Long> stamps = stamps("onlooker-floor");
        assertThat(stamps).as(job::story).hasSizeGreaterThanOrEqualTo(made.size());
        assertThat(IntStream.range(0, made.size()))
                .as(job::story)
                .allMatch(at -> made.get(at).holdsKernelStamp(stamps.get(at)));
    }

    @Test
    void aBounceComesWithTheGapsOfTheScript() {
        List<Long> stamps = stamps("onlooker-floor");
        long[] gaps = {1_000_000, 2_000_000, 3_000_000, 2_500_000};
        assertThat(IntStream.range(0, gaps.length))
                .as(job::story)
                .allMatch(at -> Math.abs(stamps.get(7 + at) - stamps.get(6 + at) - gaps[at]) < HALF_MILLISECOND);
    }

    @Test
    void aGrabKeepsOthersFromTheKeysButNotFromTheReports() {
        assertThat(job.lines("onlooker-floor")).as(job::story).startsWith("free");
        assertThat(job.lines("onlooker-second")).as(job::story).containsExactly("busy", "gone ENODEV");
        assertThat(words("onlooker-raw", "report", 2)).as(job::story).contains("0000040000000000");
    }

    @Test
    void aVendorPedalIsReadByteByByte() {
        assertThat(words("onlooker-box", "report", 2))
                .as(job::story)
                .containsExactly(
                        "0100000000000000",
                        "0000000000000001",
                        "0002000000000002",
                        "0000000000000003",
                        "0102030405060708");
    }

    @Test
    void anUnpluggedDeviceEndsItsReaders() {
        assertThat(job.lines("onlooker-floor")).as(job::story).endsWith("gone ENODEV");
        assertThat(job.lines("onlooker-box")).as(job::story).endsWith("gone EIO");
    }

    private static String plugged(String device) {
        return job.played().stream()
                .filter(played ->
                        played.what().equals("plug") && played.device().equals(device))
                .map(Played::rest)
                .findFirst()
                .orElse("never");
    }

    private static List<String> keys(String reader) {
        return job.lines(reader).stream()
                .filter(line -> line.startsWith("event "))
                .map(line -> line.split(" ", 3)[2])
                .toList();
    }

    private static List<Long> stamps(String reader) {
        return words(reader, "event", 1).stream().map(Long::valueOf).toList();
    }

    private static List<String> words(String reader, String first, int at) {
        return job.lines(reader).stream()
                .filter(line -> line.startsWith(first + " "))
                .map(line -> line.split(" ", -1)[at])
                .toList();
    }
}
