package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What the end of a journal says of the run that wrote it. */
class LastRunTest {
    private static final String MONDAY = "2026-03-02";
    private static final String TUESDAY = "2026-03-03";
    private static final String WEDNESDAY = "2026-03-04";
    private static final String STANDING =
            "\"take\":1,\"began\":4000000000,\"active\":\"rolling\",\"angle\":\"wide\",\"of\":\"rolling\","
                    + "\"asked\":\"wide in rolling\\nwheel in rolling until time ends 14000000000\",\"latched\":\"\",\"chapter\":0,\"values\":\"\"";
    /** The last record of {@link #brokenOff}, in frames and in monotonic time. */
    private static final long LAST = 200;

    private static final long LAST_NANOS = 8_000_000_000L;
    private static final Instant LAST_TIME =
            OffsetDateTime.parse("2026-03-02T10:00:08+01:00").toInstant();

    @TempDir
    private Path folder;

    private static Instant noon(String day) {
        return Instant.parse(day + "T12:00:00Z");
    }

    private static WrittenJournal day(String day) {
        return new WrittenJournal(day).start("instep: 1\n");
    }

    private long lastTake(String today) throws Exception {
        return LastRun.in(folder, noon(today)).lastTake();
    }

    /** A run that was killed in its first take, since that boot. */
    private LastRun brokenOff(String boot) throws Exception {
        day(MONDAY)
                .framed(100, "take-open", "\"take\":1,\"boot\":\"" + boot + "\"")
                .framed(LAST, "standing", STANDING)
                .into(folder);
        return LastRun.in(folder, LAST_TIME);
    }

    private static HostTime after(Duration clock, Duration mono, String boot) {
        return new HostTime(LAST_TIME.plus(clock), LAST_NANOS + mono.toNanos(), boot);
    }

    @Test
    void countsTheTakesOfEachDayFromOne() throws Exception {
        assertThat(lastTake(MONDAY)).isZero();
        day(MONDAY).open(0, 1).close(50, 1).open(100, 2).close(150, 2).stop(200).into(folder);
        assertThat(lastTake(MONDAY)).isEqualTo(2);
        assertThat(lastTake(TUESDAY)).isZero();
        day(TUESDAY).open(0, 1).close(50, 1).stop(200).into(folder);
        assertThat(lastTake(TUESDAY)).isEqualTo(1);
    }

    /** It may be told the right time before its next take, which must not be a second one of that number. */
    @Test
    void countsOnWhereTheJournalHasComeToIfTheClockIsBehindThat() throws Exception {
        day(MONDAY).open(0, 1).close(50, 1).open(100, 9).close(150, 9).stop(200).into(folder);
        day(TUESDAY)
                .open(0, 1)
                .close(50, 1)
                .open(100, 2)
                .close(150, 2)
                .stop(200)
                .into(folder);
        assertThat(lastTake("2023-01-01")).isEqualTo(2);
        assertThat(lastTake(MONDAY)).as("the greater of both days").isEqualTo(9);
    }

    /** As where a file is full, or named for a day that has not come: then it has the records of many days. */
    @Test
    void seesATakeThatReachesOverTwoFilesOfALaterDay() throws Exception {
        Path first = day(MONDAY).open(0, 3).into(folder);
        Files.move(first, folder.resolve("journal-2099-01-01.jsonl"));
        Path second = new WrittenJournal(MONDAY).cut(60, "wheel").into(folder);
        Files.move(second, folder.resolve("journal-2099-01-01.2.jsonl"));
        LastRun run = LastRun.in(folder, noon(MONDAY));
        assertThat(run.openTake()).contains(3L);
        assertThat(run.lastTake()).isEqualTo(3);
    }

    /** A newer format would be refused. */
    @ParameterizedTest
    @ValueSource(strings = {WEDNESDAY, "2023-01-01", "2027-01-01"})
    void readsNoFileBeforeTheOneThatBeginsOnAnEarlierDay(String today) throws Exception {
        Path old = newer(MONDAY);
        day(TUESDAY).open(0, 1).close(50, 1).into(folder);
        day(WEDNESDAY).open(0, 1).close(50, 1).into(folder);
        assertThat(lastTake(today)).isEqualTo(today.startsWith("2027") ? 0 : 1);
        assertThat(old).exists();
    }

    private Path newer(String day) throws IOException {
        return new WrittenJournal(day)
                .record(0, "start", "\"format\":2,\"version\":\"9\",\"file\":\"a\",\"pid\":1,\"rate\":\"25\"")
                .into(folder);
    }

    /** By the clock, as far as that can be believed: a little behind it usually is after the power has failed. */
    @ParameterizedTest
    @CsvSource({
        "PT9M,",
        "PT11M, that is more than 10 minutes ago",
        "PT-9M,",
        "PT-11M, nobody knows how long ago that is"
    })
    void goesOnAfterAnotherBootIfThatIsTenMinutesAgoAtMost(Duration clock, String hindrance) throws Exception {
        LastRun run = brokenOff("before");
        HostTime now = after(clock, Duration.ofSeconds(-5), "after");
        assertThat(run.hindrance(now).orElse("")).startsWith(hindrance == null ? "" : hindrance);
        assertThat(run.brokeOffInTake(now)).isEqualTo(hindrance == null);
    }

    /** Whatever has become of the clock. */
    @ParameterizedTest
    @CsvSource({"PT1H, PT9M, true", "PT-1H, PT9M, true", "PT9M, PT11M, false", "PT0S, PT11M, false"})
    void goesOnInTheSameBootIfThatIsTenMinutesAgoAtMost(Duration clock, Duration mono, boolean goesOn)
            throws Exception {
        assertThat(brokenOff("same").brokeOffInTake(after(clock, mono, "same"))).isEqualTo(goesOn);
    }

    /** What ends by itself was to end six seconds after the last record. */
    @ParameterizedTest
    @CsvSource({"PT1H, PT2S, same, 4", "PT2S, PT-5S, after, 4", "PT-2S, PT-5S, after, 6"})
    void goesOnWithWhatEndsByItselfForTheRestOfItsTime(Duration clock, Duration mono, String boot, long seconds)
            throws Exception {
        HostTime now = after(clock, mono, boot);
        long due = brokenOff("same").standing(now).orElseThrow().acts().stream()
                .flatMap(act -> java.util.Optional.ofNullable(act.detour()).stream())
                .findFirst()
                .orElseThrow()
                .due();
        assertThat(Duration.ofNanos(due - now.mono())).isEqualTo(Duration.ofSeconds(seconds));
    }
}
