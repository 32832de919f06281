package instep.journal;

import static instep.journal.TestJournal.SECOND;
import static org.assertj.core.api.Assertions.assertThat;

import instep.cutlist.Jump;
import instep.cutlist.Mark;
import instep.cutlist.Shot;
import instep.cutlist.Shots;
import instep.cutlist.Take;
import instep.cutlist.Takes;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class TakeEventsTest {
    @TempDir
    private Path folder;

    @Test
    void aTakeOverMidnightGoesOnCounting() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 2_159_990, Happening.cut("wide", null, -1, -1));
            journal.append(SECOND / 5, 2_159_995, Happening.takeOpen(1));
            journal.append(SECOND, 2_160_015, Happening.cut("wheel", "wide", -1, -1));
            journal.append(2 * SECOND, 2_160_040, Happening.takeClose(1));
        }
        assertThat(TestJournal.read(TestJournal.file(folder)).get(2).tc()).isEqualTo("00:00:00:15");
        assertThat(shots())
                .containsExactly(new Shot(1, "wide", 2_159_995, 2_160_015), new Shot(1, "wheel", 2_160_015, 2_160_040));
    }

    @Test
    void aTakeThatBreaksOffLastsAsLongAsTheJournalKnowsOfIt() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, RunStart.of("0.1.0", "pottery.yaml", 1, "25"));
            journal.append(0, 0, Happening.takeOpen(1));
            journal.append(0, 0, Happening.cut("wide", null, -1, -1));
            journal.append(4 * SECOND, 100, Happening.edge("floor.left", true, false));
        }
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(90 * SECOND, 0, RunStart.of("0.1.0", "pottery.yaml", 2, "25"));
            journal.append(90 * SECOND, 1_000, Happening.takeOpen(2));
            journal.append(91 * SECOND, 1_025, Happening.takeClose(2));
            journal.append(91 * SECOND, 1_025, Happening.stop("asked to"));
        }
        assertThat(shots()).containsExactly(new Shot(1, "wide", 0, 101), new Shot(2, "", 1_000, 1_025));
    }

    private void confirmedLate(Happening start) throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, start);
            long first = journal.append(0, 0, Happening.takeOpen(1));
            journal.append(0, 0, Happening.cut("wide", null, -1, -1));
            long wheel = journal.append(4 * SECOND, 100, Happening.cut("wheel", "wide", -1, -1));
            journal.append(SECOND / 5, 5, Happening.confirmed("mixer", "wide", first + 1, 200_000, false));
            journal.append(5 * SECOND, 103, Happening.confirmed("mixer", "wheel", wheel, 120_000, false));
            journal.append(6 * SECOND, 150, Happening.confirmed("mixer", "wheel", wheel, 2_000_000, false));
            journal.append(7 * SECOND, 175, Happening.cut("hands", "wheel", -1, -1));
            journal.append(8 * SECOND, 200, Happening.takeClose(1));
        }
    }

    /** What a take begins with stands on its first frame; one that nobody confirmed stands where it was asked for. */
    @Test
    void aCutCountsFromWhenItWasFirstConfirmed() throws IOException {
        confirmedLate(RunStart.of("0.1.0", "pottery.yaml", 1, "25"));
        assertThat(shots())
                .containsExactly(
                        new Shot(1, "wide", 0, 103), new Shot(1, "wheel", 103, 175), new Shot(1, "hands", 175, 200));
    }

    /** The mixer was off while a foot was down for a second: what it says when it is back has no say in how long the shot was. */
    @Test
    void aCutThatGearIsToldAgainStaysWhereTheFootMadeIt() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, RunStart.of("0.1.0", "pottery.yaml", 1, "25"));
            journal.append(0, 0, Happening.takeOpen(1));
            journal.append(0, 0, Happening.cut("wide", null, -1, -1));
            journal.append(4 * SECOND, 100, Happening.cut("wheel", "wide", -1, -1));
            long back = journal.append(5 * SECOND, 125, Happening.cut("wide", "wheel", -1, -1));
            journal.append(9 * SECOND, 225, Happening.confirmed("mixer", "wide", back, 3_000, true));
            journal.append(10 * SECOND, 250, Happening.takeClose(1));
        }
        assertThat(shots())
                .containsExactly(
                        new Shot(1, "wide", 0, 100), new Shot(1, "wheel", 100, 125), new Shot(1, "wide", 125, 250));
    }

    @Test
    void whatWasConfirmedInADemoThatRunsTooFastSaysNothing() throws IOException {
        confirmedLate(RunStart.of("0.1.0", "pottery.yaml", 1, "25", 2_000, "20.0"));
        assertThat(shots()).contains(new Shot(1, "wheel", 100, 175));
    }

    /**
     * A tape is wound 20 s into a take: the shot goes on, in frames that are counted on. A cut that was made before the jump, and told after it, has a frame of before.
     */
    @Test
    void aJumpOfTimecodeWithinATakeIsNoCut() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            SyncQuality known = SyncQuality.UNKNOWN;
            journal.append(0, 0, RunStart.of("0.1.0", "pottery.yaml", 1, "25"));
            journal.append(0, 90_000, SyncRecord.chased("ltc", "locked", 0, known));
            journal.append(SECOND, 90_025, SyncRecord.of("ltc", null, known));
            journal.append(SECOND, 90_025, Happening.takeOpen(1));
            journal.append(SECOND, 90_025, Happening.cut("wide", null, -1, -1));
            journal.append(11 * SECOND, 90_275, SyncRecord.chased("ltc", "follows", 11 * SECOND - 1_000_000, known));
            journal.append(21 * SECOND, 1_000, SyncRecord.chased("ltc", "jumped", 21 * SECOND - 500_000, known));
            journal.append(21 * SECOND - SECOND / 25, 90_524, Happening.cut("wheel", "wide", -1, -1));
            journal.append(31 * SECOND, 1_250, Happening.mark("retake", null, -1));
            journal.append(41 * SECOND, 1_500, Happening.takeClose(1));
        }
        List<Take> takes = new ArrayList<>();
        TakeEvents events = new TakeEvents(new Takes(takes::add)::accept);
        TestJournal.read(TestJournal.file(folder)).forEach(events::accept);
        events.end();
        assertThat(takes).singleElement().satisfies(take -> {
            assertThat(take.shots())
                    .containsExactly(new Shot(1, "wide", 90_025, 90_524), new Shot(1, "wheel", 90_524, 91_025));
            assertThat(take.jumps()).containsExactly(new Jump(90_525, 1_000 - 90_525));
            assertThat(take.marks()).extracting(Mark::frame).containsExactly(90_775L);
            assertThat(take.labelled(90_775)).isEqualTo(1_250);
            assertThat(take.labelled(90_524)).isEqualTo(90_524);
        });
    }

    /** The time of day stands in until timecode comes: also then the labels of a take are in two stretches. */
    @Test
    void timecodeThatComesLateIsAJump() throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            SyncQuality known = SyncQuality.UNKNOWN;
            journal.append(0, 0, RunStart.of("0.1.0", "pottery.yaml", 1, "25"));
            journal.append(0, 1_500_000, SyncRecord.of("time-of-day", null, known));
            journal.append(0, 1_500_000, Happening.takeOpen(1));
            journal.append(0, 1_500_000, Happening.cut("wide", null, -1, -1));
            journal.append(4 * SECOND, 90_000, SyncRecord.chased("mtc", "locked", 4 * SECOND, known));
            journal.append(10 * SECOND, 90_150, Happening.takeClose(1));
            journal.append(20 * SECOND, 90_400, SyncRecord.of("mtc", null, known));
            journal.append(20 * SECOND, 90_400, Happening.takeOpen(2));
            journal.append(21 * SECOND, 90_425, Happening.takeClose(2));
        }
        assertThat(shots())
                .containsExactly(new Shot(1, "wide", 1_500_000, 1_500_250), new Shot(2, "wide", 90_400, 90_425));
    }

    private List<Shot> shots() throws IOException {
        TakeEvents events = new TakeEvents();
        TestJournal.read(TestJournal.file(folder)).forEach(events::accept);
        return Shots.of(events.toList());
    }
}
