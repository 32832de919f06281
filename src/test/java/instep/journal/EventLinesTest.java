package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;

import instep.time.FrameRate;
import java.util.ArrayList;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.LongRange;
import org.junit.jupiter.api.Test;

class EventLinesTest {
    private static final long SECOND = 1_000_000_000L;

    private final List<String> log = new ArrayList<>();
    private final EventLines lines = new EventLines(FrameRate.R25, log::add);
    private long seq;

    @Test
    void tellsALessonInAlignedLines() {
        show(900_000, RunStart.of("0.1.0", "pottery.yaml", 4711, "25"));
        show(900_000, Happening.config("pottery.yaml", "0123456789abcdef0123", "…"));
        show(900_000, SyncRecord.of("time-of-day", "2026-03-02T10:00:00.000000000+01:00", SyncQuality.UNKNOWN));
        show(900_001, Happening.link("mixer", "up", null));
        show(900_002, Happening.device("floor", "absent", "waiting for usb 1209:2303"));
        show(900_050, Happening.device("floor", "up", "/dev/input/event5"));
        long hold = press(900_100, "floor.right.hold");
        show(
                900_100,
                Happening.transition(new Happening.Step("standby", "rolling", false), "floor.right.hold", 58, hold));
        show(900_100, Happening.takeOpen(1));
        show(900_100, Happening.cut("wide", null, hold, 0));
        show(900_100, Happening.sent("mixer", "CUT 1", 1, 412));
        show(900_101, Happening.reply("mixer", "ONAIR wide", -1));
        long press = press(900_307, "floor.left.press");
        show(
                900_307,
                Happening.transition(new Happening.Step("rolling", "rolling", false), "floor.left.press", 65, press));
        show(900_307, Happening.cut("wheel", "wide", press, 0));
        show(900_307, Happening.missed("mixer", "CUT 2", "the link was down for longer than 300 ms", 2));
        show(900_310, Happening.mark("chapter", "step 3", press));
        show(900_311, Happening.link("mixer", "lost", "connection refused"));
        show(900_312, Happening.edge("floor.left", false, true));
        show(900_320, GearFault.refused("recorder", "answered 503, not 200", 4));
        show(901_662, Happening.takeClose(1));
        show(901_700, Happening.stop("asked to by SIGTERM"));
        assertThat(String.join("\n", log) + "\n").isEqualTo("""
                10:00:00:00  -           START   instep 0.1.0 with pottery.yaml
                10:00:00:00  -           CONFIG  pottery.yaml is in force, sha-256 0123456789ab
                10:00:00:00  -           SYNC    timecode counts from 10:00:00:00, source time-of-day
                10:00:00:01  -           LINK    mixer  up
                10:00:00:02  -        !! PEDAL   floor  absent: waiting for usb 1209:2303
                10:00:02:00  -           PEDAL   floor  up: /dev/input/event5
                10:00:04:00  -           STATE   standby -> rolling        by floor.right hold
                10:00:04:00  take 1      TAKE    begins
                10:00:04:00  take 1      CUT     wide                      by floor.right hold
                10:00:04:00  take 1      SENT    mixer  CUT 1              in 0.4 ms
                10:00:04:01  take 1      REPLY   mixer  ONAIR wide
                10:00:12:07  take 1      CUT     wide -> wheel             by floor.left press
                10:00:12:07  take 1   !! MISSED  mixer  CUT 2: the link was down for longer than 300 ms
                10:00:12:10  take 1      MARK    chapter  "step 3"         by floor.left press
                10:00:12:11  take 1   !! LINK    mixer  lost: connection refused
                10:00:12:12  take 1   !! PEDAL   floor.left counts as released: it is not heard any more
                10:00:12:20  take 1   !! FAULT   recorder  answered 503, not 200
                10:01:06:12  take 1      TAKE    ends after 01:02.480
                10:01:08:00  -           STOP    asked to by SIGTERM
                """);
    }

    @Test
    void aLongFaultGoesOnInLinesThatAllSayFault() {
        show(
                0,
                Happening.fault(
                        "pottery.yaml:12:9: there is no angle weel; did you mean wheel? The old configuration stays"
                                + " in force until the file is right.\n    cut: weel\n         ^"));
        assertThat(log)
                .containsExactly(
                        "00:00:00:00  -        !! FAULT   pottery.yaml:12:9: there is no angle weel; did you mean wheel? The",
                        "00:00:00:00  -        !! FAULT   old configuration stays in force until the file is right.",
                        "00:00:00:00  -        !! FAULT       cut: weel",
                        "00:00:00:00  -        !! FAULT            ^");
    }

    @Test
    void whatGearSaysCannotSteerTheTerminal() {
        show(0, Happening.reply("mixer", "\u001b[2J\u0007ON\u009bAIR\r\n\u202ewide", -1));
        assertThat(log).containsExactly("00:00:00:00  -           REPLY   mixer   [2J ON AIR   wide");
    }

    @Test
    void countsATakeThatGoesOnFromItsFirstRecord() {
        show(900_500, Happening.takeResumed(1, 400));
        show(900_600, Happening.takeClose(1));
        assertThat(log.get(0)).endsWith("TAKE    goes on");
        assertThat(log.get(1)).endsWith("TAKE    ends after 00:20.000");
    }

    @Test
    void countsItInTimeWhereTimecodeHasGoneElsewhereSince() {
        lines.show(new Pending(1, 20 * SECOND, 900_500, Happening.takeResumed(1, 400)));
        lines.show(new Pending(
                2, 22 * SECOND, 950_000, SyncRecord.chased("ltc", "jumped", 22 * SECOND, SyncQuality.UNKNOWN)));
        lines.show(new Pending(3, 24 * SECOND, 950_050, Happening.takeClose(1)));
        assertThat(log.get(2)).endsWith("TAKE    ends after 00:20.000");
    }

    /** A wide character takes two columns of a terminal. */
    @Test
    void wideCharactersCountTwiceAndAreNotCutInTwo() {
        show(0, Happening.reply("mixer", "陶".repeat(60), -1));
        show(0, Happening.fault("🏺".repeat(40)));
        show(0, Happening.transition(new Happening.Step("待機", "録画", false), "floor.right.hold", 1, -1));
        assertThat(log)
                .containsExactly(
                        "00:00:00:00  -           REPLY   mixer  " + "陶".repeat(28) + "...",
                        "00:00:00:00  -        !! FAULT   " + "🏺".repeat(33),
                        "00:00:00:00  -        !! FAULT   " + "🏺".repeat(7),
                        "00:00:00:00  -           STATE   待機 -> 録画              by floor.right hold");
    }

    @Property
    void noLineIsAHundredColumnsWideOrEndsInSpace(
            @ForAll String text, @ForAll @LongRange(min = 0, max = 10_000_000_000L) long take) {
        show(0, Happening.takeOpen(take));
        show(1, Happening.fault(text));
        show(2, Happening.reply("mixer", text, -1));
        show(3, Happening.mark("chapter", text, -1));
        show(4, Happening.missed(text, text, text, -1));
        assertThat(log).hasSizeGreaterThanOrEqualTo(5).allSatisfy(line -> {
            assertThat(TextWidth.of(line)).isLessThan(100);
            assertThat(line).isEqualTo(line.stripTrailing());
        });
        log.clear();
    }

    @Test
    void rawEdgesAndGesturesMakeNoLine() {
        press(0, "floor.left.press");
        assertThat(log).isEmpty();
    }

    private long press(long frame, String gesture) {
        long edge = show(frame, Happening.edge("floor.left", true, false));
        return show(frame, Happening.gesture(gesture, 0, edge));
    }

    private long show(long frame, Happening what) {
        lines.show(new Pending(++seq, 0, frame, what));
        return seq;
    }

    @Test
    void tellsWhatIsOnAirAndWhoseCutItIs() {
        show(900_100, Happening.confirmed("mixer", "wide", 7, 41_200, false));
        show(900_200, Happening.cutBy("glaze", "wide", 9, "mixer"));
        show(900_300, GearFault.notRolling("recorder", "it has not said within 2 s that it rolls", true));
        assertThat(log)
                .containsExactly(
                        "10:00:04:00  -           ONAIR   wide                      says mixer, after 41.2 ms",
                        "10:00:08:00  -           CUT     wide -> glaze             by somebody at mixer",
                        "10:00:12:00  -        !! FAULT   recorder  it has not said within 2 s that it rolls");
    }
}
