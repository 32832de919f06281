package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.desk.Snapshot;
import instep.journal.GearFault;
import instep.journal.Happening;
import instep.journal.Losses;
import instep.journal.RunStart;
import instep.journal.SyncQuality;
import instep.journal.SyncRecord;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What the page shows follows from the records. */
class DeskWatchTest {
    private static final long SECOND = 1_000_000_000L;

    private final AtomicInteger news = new AtomicInteger();
    private DeskWatch watch;
    private long mono;
    private boolean clockFails;

    @BeforeEach
    void begin() throws Exception {
        watch = new DeskWatch(ConfigReader.read(Path.of("config-examples/pottery.yaml")), true, this::now);
        watch.tell(news::incrementAndGet);
        see(RunStart.of("0.1.0", "pottery.yaml", 1, "25"));
    }

    private long now() {
        if (clockFails) {
            throw new IllegalStateException("no clock");
        }
        return mono;
    }

    /** A second after the one before it; frames are those of 25 a second from 10:00:00:00. */
    private Snapshot see(Happening... records) {
        for (Happening record : records) {
            mono += SECOND;
            watch.saw(mono, 900_000 + 25 * mono / SECOND, record);
        }
        watch.caughtUp();
        return watch.latest();
    }

    private static Happening recorder(String mode) {
        return Happening.heeded("recorder", "{\"mode\":\"" + mode + "\"}", -1, -1, null);
    }

    private String recorder() {
        return watch.latest().recorders().get(0).words();
    }

    private List<String> faults() {
        return watch.latest().faults().stream().map(Snapshot.Fault::what).toList();
    }

    @Test
    void tellsInALineWhichFaultsStandButForGearAndPedalsThatAreNotThere() {
        see(Happening.fault("something has happened"));
        assertThat(watch.standing()).isEmpty();
        see(Happening.configFault(
                "pottery.yaml", "the changed one was refused; the old one stays.\npottery.yaml:7:3: unknown"));
        assertThat(watch.standing())
                .isEqualTo("1 fault: the changed one was refused: the old one stays. pottery.yaml:7:3: unknown");
        see(Happening.journalFault("no space left", true));
        assertThat(watch.standing()).isEqualTo("2 faults, the newest: the journal cannot be written: no space left");
        see(Happening.journalFault("it is written again", false));
        see(Happening.configNote("pottery.yaml", "as it is in force"));
        assertThat(watch.standing()).isEmpty();
    }

    @Test
    void tellsWhenThereIsSomethingNew() {
        int before = news.get();
        see(Happening.takeOpen(1), Happening.takeClose(1));
        assertThat(news.get()).isEqualTo(before + 1);
    }

    @Test
    void countsTheTakeFromItsFirstFrameToItsLast() {
        Snapshot open = see(Happening.takeOpen(4));
        assertThat(open.take()).isEqualTo(new Snapshot.Take(4, true, mono, mono));
        long began = mono;
        Snapshot closed = see(Happening.mark("retake", "the rim", 1), Happening.takeClose(4));
        assertThat(closed.take()).isEqualTo(new Snapshot.Take(4, false, began, mono));
        assertThat(closed.marks()).containsExactly(new Snapshot.Marked("10:00:03:00", "retake: the rim"));
        assertThat(see(Happening.takeOpen(5)).marks()).isEmpty();
    }

    @Test
    void countsATakeThatGoesOnFromItsFirstFrameAndNotAsAnother() {
        Snapshot open = see(Happening.takeResumed(4, 250));
        assertThat(open.take()).isEqualTo(new Snapshot.Take(4, true, mono - 10 * SECOND, mono));
        assertThat(open.tallies().takes()).isZero();
        assertThat(see(Happening.takeClose(4)).take().began()).isEqualTo(mono - 11 * SECOND);
        assertThat(see(Happening.takeOpen(5)).tallies().takes()).isEqualTo(1);
    }

    @Test
    void saysInWordsWhetherARecorderRolls() {
        assertThat(recorder()).isEqualTo("cannot be reached");
        see(Happening.link("recorder", "up", null));
        assertThat(recorder()).isEqualTo("has not said anything yet");
        see(recorder("stop"));
        assertThat(recorder()).isEqualTo("does not roll");
        see(Happening.takeOpen(1));
        assertThat(recorder()).isEqualTo("has not said yet that it rolls");
        // It is asked all the time, and may be slow.
        see(recorder("stop"));
        assertThat(recorder()).isEqualTo("has not said yet that it rolls");
        see(GearFault.notRolling("recorder", "look at it", true));
        assertThat(recorder()).isEqualTo("does not say that it rolls");
        assertThat(watch.latest().recorders().get(0).fine()).isFalse();
        assertThat(faults()).containsExactly("recorder does not say that it rolls");
        see(recorder("record"));
        assertThat(recorder()).isEqualTo("rolls");
        assertThat(watch.latest().recorders().get(0).fine()).isTrue();
        assertThat(faults()).isEmpty();
        see(recorder("stop"), GearFault.notRolling("recorder", "the take is open", false));
        assertThat(recorder()).isEqualTo("has stopped in the take");
        see(Happening.takeClose(1));
        assertThat(faults()).isEmpty();
        see(recorder("record"));
        assertThat(recorder()).isEqualTo("rolls, and no take is open");
        assertThat(watch.latest().recorders().get(0).fine()).isFalse();
    }

    @Test
    void showsWhichPedalsAreDown() {
        see(Happening.device("floor", "up", "/dev/input/event5"), Happening.edge("floor.left", true, false));
        Snapshot.Pedal floor = watch.latest().pedals().get(0);
        assertThat(floor.words()).isEqualTo("there");
        assertThat(floor.contacts())
                .containsExactly(
                        new Snapshot.Contact("left", true),
                        new Snapshot.Contact("middle", false),
                        new Snapshot.Contact("right", false));
        see(Happening.edge("floor.left", false, true), Happening.device("floor", "absent", null));
        assertThat(watch.latest().pedals().get(0).fine()).isFalse();
        assertThat(watch.latest().pedals().get(0).contacts()).noneMatch(Snapshot.Contact::closed);
        assertThat(faults()).containsExactly("pedal floor is not there");
        see(Happening.device("floor", "up", null));
        assertThat(faults()).isEmpty();
    }

    @Test
    void showsALinkWithItsLastLatency() {
        see(Happening.link("mixer", "up", "connected"), Happening.sent("mixer", "CUT 1", 1, 412));
        assertThat(watch.latest().links().get(0)).isEqualTo(new Snapshot.Part("mixer", "up", true, "sent in 0.4 ms"));
        see(Happening.confirmed("mixer", "wide", 1, 9_000, false), Happening.link("mixer", "lost", "its cable is out"));
        assertThat(watch.latest().links().get(0))
                .isEqualTo(new Snapshot.Part(
                        "mixer", "lost: its cable is out", false, "sent in 0.4 ms, on air after 9.0 ms"));
    }

    @Test
    void keepsAFaultUntilItIsOverAndWhatHasHappenedUntilSomebodyHasSeenIt() {
        see(Happening.link("mixer", "lost", "its cable is out"));
        Snapshot.Fault lost = watch.latest().faults().get(0);
        see(Happening.missed("mixer", "CUT 2", "the link was down", 1));
        // The same fault for another reason is no other one: whoever has acknowledged it is not told again.
        see(Happening.link("mixer", "lost", "nobody answers"));
        assertThat(faults()).containsExactly("mixer cannot be reached", "mixer was not told CUT 2");
        assertThat(watch.latest().faults().get(0).number()).isEqualTo(lost.number());
        assertThat(watch.latest().faults().get(0).why()).isEqualTo("nobody answers");
        assertThat(watch.latest().faults().get(0).label()).isEqualTo(lost.label());
        see(Happening.link("mixer", "up", null), Happening.missed("mixer", "CUT 3", "too late", 1));
        assertThat(watch.latest().faults()).singleElement().satisfies(missed -> {
            assertThat(missed.what()).isEqualTo("mixer was not told CUT 3");
            assertThat(missed.times()).isEqualTo(2);
            assertThat(missed.stands()).isFalse();
        });
        see(Happening.missed("mixer", "CUT 4", Outcome.SUPERSEDED, 1));
        assertThat(faults()).containsExactly("mixer was not told CUT 3");
    }

    @Test
    void tellsGearThatDoesNotAnswerFromGearThatRefuses() {
        see(GearFault.silent("recorder", "no answer within 1 s", 1), GearFault.refused("recorder", "answered 503", 2));
        assertThat(faults()).containsExactly("recorder does not answer", "recorder refused");
        see(Happening.reply("recorder", "200 OK", 3));
        assertThat(faults()).containsExactly("recorder refused");
    }

    @Test
    void holdsOnlySoManyFaultsAndKeepsThoseThatStand() {
        see(Happening.link("mixer", "lost", null));
        for (int i = 0; i < 3 * DeskFaults.MOST; i++) {
            see(Happening.fault("oddity " + i));
        }
        assertThat(watch.latest().faults()).hasSize(DeskFaults.MOST);
        assertThat(faults().get(0)).isEqualTo("mixer cannot be reached");
        assertThat(faults().get(1)).isEqualTo("oddity " + (3 * DeskFaults.MOST - 1));
    }

    @Test
    void keepsTheLastThirtyHappeningsInTheEventLogsWords() {
        for (int i = 0; i < 40; i++) {
            watch.saw(mono, 900_000, Happening.fault("oddity"));
            watch.accept("line " + i);
            watch.accept("and its rest");
        }
        watch.caughtUp();
        assertThat(watch.latest().happenings()).hasSize(30);
        assertThat(watch.latest().happenings().get(0)).isEqualTo(new Snapshot.Line(11, "line 10\nand its rest"));
    }

    @Test
    void runsItsTimecodeAlongTheLineOfTheLastSync() {
        assertThat(watch.latest().line().at(2 * SECOND)).hasToString("10:00:02:00");
        mono = 10 * SECOND;
        watch.saw(mono, 25, SyncRecord.of("count-up", null, SyncQuality.UNKNOWN));
        watch.caughtUp();
        assertThat(watch.latest().line().at(mono)).hasToString("00:00:01:00");
        assertThat(watch.latest().sync()).isEqualTo("a count");
        // A frame of outside timecode began a little before it was heard of.
        watch.saw(
                mono + SECOND, 75, SyncRecord.chased("ltc", "jumped", mono + SECOND - 10_000_000, SyncQuality.UNKNOWN));
        watch.caughtUp();
        assertThat(watch.latest().line().nanosAt(75)).isEqualTo(mono + SECOND - 10_000_000);
        assertThat(watch.latest().sync()).isEqualTo("linear timecode, jumped");
        assertThat(watch.latest().tallies().syncOffset()).isEqualTo(SECOND);
        see(SyncRecord.chased("ltc", "lost", mono, SyncQuality.UNKNOWN));
        assertThat(faults()).containsExactly("no timecode comes in");
        see(SyncRecord.of("ltc", null, SyncQuality.UNKNOWN), Happening.takeOpen(1));
        assertThat(faults()).containsExactly("no timecode comes in");
        assertThat(watch.latest().sync()).isEqualTo("linear timecode, lost");
        see(SyncRecord.chased("ltc", "locked", mono, SyncQuality.UNKNOWN));
        assertThat(faults()).isEmpty();
    }

    @Test
    void countsWhatHappens() {
        see(
                Happening.edge("floor.left", true, false),
                Happening.gesture("floor.left.press", 1, 1),
                Happening.cut("wheel", "wide", 1, 1),
                Happening.cutBy("glaze", "wheel", 1, "mixer"),
                Happening.sent("mixer", "CUT 2", 1, 450),
                Happening.sent("mixer", "PING", 1, -1),
                Happening.fault("oddity"));
        var tallies = watch.latest().tallies();
        assertThat(tallies.edges()).isEqualTo(1);
        assertThat(tallies.gestures()).isEqualTo(1);
        assertThat(tallies.own()).isEqualTo(1);
        assertThat(tallies.foreign()).isEqualTo(1);
        assertThat(tallies.faults()).isEqualTo(1);
        assertThat(tallies.gear().get(0).sent()).isEqualTo(2);
        assertThat(tallies.gear().get(0).lastMicros()).isEqualTo(450);
    }

    @Test
    void saysHowLateTheLastRecordCameWhateverItWas() {
        mono = 10 * SECOND;
        assertThat(lagAfter(3 * SECOND, Happening.edge("floor.left", true, false)))
                .isEqualTo(7 * SECOND);
        assertThat(lagAfter(mono, Happening.reply("recorder", "200 OK", 3))).isZero();
        assertThat(lagAfter(9 * SECOND, Happening.link("mixer", "lost", null))).isEqualTo(SECOND);
        assertThat(lagAfter(mono, Happening.sent("mixer", "CUT 1", 1, 450))).isZero();
        // The gesture that led to these began before.
        assertThat(lagAfter(8 * SECOND, Happening.cut("wheel", "wide", 1, 8 * SECOND)))
                .isZero();
        assertThat(lagAfter(8 * SECOND, Happening.mark("retake", "", 1))).isZero();
    }

    private long lagAfter(long made, Happening record) {
        watch.saw(made, 900_000, record);
        watch.caughtUp();
        return watch.latest().tallies().journalLag();
    }

    @Test
    void goesOnForTheJournalWhenItHasABugOfItsOwn() {
        clockFails = true;
        see(Happening.device("floor", "up", null));
        clockFails = false;
        see(Happening.device("floor", "up", null));
        assertThat(watch.latest().faults()).singleElement().satisfies(fault -> {
            assertThat(fault.what())
                    .startsWith("a bug keeps this page from following")
                    .contains("no clock");
            assertThat(fault.stands()).isTrue();
        });
        assertThat(watch.latest().pedals().get(0).words()).isEmpty();
    }

    @Test
    void saysThatRecordsAreLostAsLongAsThatGoesOn() throws Exception {
        see(Happening.takeOpen(1), Losses.of(3_000), Losses.of(20));
        assertThat(watch.latest().faults())
                .singleElement()
                .matches(fault -> fault.what().equals("the journal loses records"))
                .matches(fault -> fault.why().startsWith("20 records before this one are lost"))
                .matches(Snapshot.Fault::stands);
        long over = DeskWatch.LOSS_NANOS / SECOND;
        for (long i = 0; i < over; i++) {
            see(Happening.mark("retake", "", 1));
        }
        assertThat(faults()).hasSize(1);
        see(Happening.mark("retake", "", 1));
        assertThat(faults()).isEmpty();
        assertThat(watch.latest().tallies().lostRecords()).isEqualTo(3_020);
    }

    @Test
    void saysThatNoMoreRecordsAreLostThoughNoneComesToSaySo() {
        assertThat(watch.patience()).isEqualTo(Long.MAX_VALUE);
        see(Losses.of(20));
        assertThat(watch.standing()).startsWith("1 fault: the journal loses records");
        assertThat(new DiskAlarm(watch, (fails, sentence) -> false).patience()).isEqualTo(DeskWatch.LOSS_NANOS + 1);
        mono += DeskWatch.LOSS_NANOS;
        watch.caughtUp();
        assertThat(faults()).containsExactly("the journal loses records");
        AtomicInteger others = new AtomicInteger();
        watch.tellFaults(others::incrementAndGet);
        int before = news.get();
        mono += watch.patience();
        watch.caughtUp();
        assertThat(faults()).isEmpty();
        assertThat(watch.standing()).isEmpty();
        assertThat(news.get()).isEqualTo(before + 1);
        assertThat(others).hasValue(1);
        assertThat(watch.patience()).isEqualTo(Long.MAX_VALUE);
    }
}
