package instep.lab;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.jr.ob.JSON;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeSet;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** The whole program on a real kernel: feet play the lesson of {@code src/test/lab/jobs/lesson/pedals}. */
@Tag("lab")
final class DeviceLabIT {
    /** What the mixer must be told, scene by scene. */
    private static final List<String> CUTS = List.of(
            "CUT 1", // roll
            "CUT 2", "CUT 1", // left, as long as it is down
            "CUT 3", "CUT 1", // middle, until it is pressed again
            "CUT 2", "CUT 1", // left, so long that the kernel repeats the key
            "CUT 2", "CUT 1", // left bounces
            "CUT 2", "CUT 1", "CUT 2", "CUT 1", "CUT 2", "CUT 1", "CUT 2", "CUT 1", "CUT 2",
            "CUT 1", // five quick presses
            "CUT 2", "CUT 3", "CUT 1", // left and middle overlap
            "CUT 4", "CUT 1", // red
            "CUT 2", "CUT 1", // the floor pedals unplugged while left is held
            "CUT 2", "CUT 1", // left, on another node
            "CUT 4", "CUT 1", // the box unplugged while red is held
            "CUT 4", "CUT 1"); // red, after that

    private static final Map<String, String> ANGLES =
            Map.of("CUT 1", "wide", "CUT 2", "wheel", "CUT 3", "hands", "CUT 4", "glaze");

    private static final Map<String, List<String>> CONTACTS =
            Map.of("floor", List.of("left", "middle", "right"), "box", List.of("red"));

    /** A raw report has no stamp of the kernel's: it carries the time at which it was read, on the same clock. */
    private static final long SAME_CLOCK_NANOS = 1_000_000_000;

    private static LabJob job;
    private static List<Sunk> sunk = List.of();
    private static List<JournalLine> journal = List.of();

    @BeforeAll
    static void playTheLesson() throws Exception {
        job = LabJob.run("lesson");
        sunk = job.lines("sink").stream().map(Sunk::parse).toList();
        journal = job.journal();
    }

    @Test
    void theMixerIsToldEveryCutOnceAndInOrder() {
        String told = new String(Sunk.bytesTo("mixer", sunk), ISO_8859_1);
        assertThat(told).as(job::story).isEqualTo(String.join("\r\n", CUTS) + "\r\n");
        assertThat(sunk.stream().filter(line -> line.isTo("mixer", "open"))).hasSize(1);
    }

    @Test
    void theJournalHoldsTheSameCuts() {
        assertThat(lines("cut").map(line -> line.text("angle")))
                .as(job::story)
                .containsExactlyElementsOf(CUTS.stream().map(ANGLES::get).toList());
    }

    @Test
    void theRecorderRollsOnceAndStopsOnce() throws Exception {
        String told = new String(Sunk.bytesTo("recorder", sunk), ISO_8859_1);
        List<String> requests = Pattern.compile("(?=PUT /transport HTTP/1\\.1\r\n)")
                .splitAsStream(told)
                .toList();
        assertThat(requests).as(job::story).hasSize(2).allMatch(request -> request.startsWith("PUT /transport "));
        Map<String, Object> roll = body(requests.get(0));
        assertThat(roll).containsEntry("mode", "record").containsKey("take");
        assertThat(String.valueOf(roll.get("take"))).doesNotContain("{");
        assertThat(body(requests.get(1))).isEqualTo(Map.of("mode", "stop"));
    }

    // The bytes are written out after the OSC 1.0 specification: strings end in zeros up to a multiple of four bytes,
    // numbers are big-endian; 0.5 is 3f000000 in IEEE 754.
    @Test
    void theLampIsToldInOsc() {
        String address = hex("/lamp/rec\0\0\0") + hex(",ifs\0\0\0\0");
        assertThat(sunk.stream().filter(line -> line.isTo("lamp", "bytes")).map(Sunk::hex))
                .as(job::story)
                .containsExactly(
                        address + "00000001" + "3f000000" + hex("roll\0\0\0\0"),
                        address + "00000000" + "00000000" + hex("idle\0\0\0\0"));
    }

    @Test
    void noLineOfTheJournalIsMissing() {
        long first = journal.get(0).number("seq");
        assertThat(journal.stream().map(line -> line.number("seq")))
                .as(job::story)
                .containsExactlyElementsOf(IntStream.range(0, journal.size())
                        .mapToObj(at -> first + at)
                        .toList());
        assertThat(journal.get(0).text("kind")).isEqualTo("start");
        assertThat(journal.get(journal.size() - 1).text("kind")).isEqualTo("stop");
        assertThat(lines("fault")).as(job::story).isEmpty();
        assertThat(lines("missed")).as(job::story).isEmpty();
    }

    @Test
    void theJournalHoldsEveryEdgeThatTheFeetMade() {
        CONTACTS.forEach((pedal, contacts) -> assertThat(edges(pedal).map(DeviceLabIT::inWords))
                .as(job::story)
                .containsExactlyElementsOf(
                        made(pedal).stream().map(Made::inWords).toList()));
    }

    @Test
    void edgesOfKeysCarryTheKernelsStamp() {
        List<Made> made = made("floor");
        List<JournalLine> edges = edges("floor").toList();
        assertThat(edges).as(job::story).hasSameSizeAs(made);
        assertThat(IntStream.range(0, made.size()))
                .as(job::story)
                .allMatch(at -> made.get(at).by().holdsKernelStamp(edges.get(at).number("mono"))
                        || (edges.get(at).flag("lost")
                                && edges.get(at).number("mono")
                                        >= made.get(at).by().before()));
    }

    @Test
    void edgesOfReportsAreOfTheSameClock() {
        List<Made> made = made("box");
        List<JournalLine> edges = edges("box").toList();
        assertThat(edges).as(job::story).hasSameSizeAs(made);
        assertThat(IntStream.range(0, made.size())
                        .mapToLong(at ->
                                edges.get(at).number("mono") - made.get(at).by().before()))
                .as(job::story)
                .allMatch(late -> late >= 0 && late < SAME_CLOCK_NANOS);
    }

    @Test
    void everyCutNamesTheEdgeBeforeItThatCausedIt() {
        Map<Long, JournalLine> before = new HashMap<>();
        for (JournalLine line : journal) {
            if (line.is("cut")) {
                assertThat(before.get(line.number("cause")))
                        .as(job::story)
                        .isNotNull()
                        .matches(cause -> cause.is("edge"));
            }
            before.put(line.number("seq"), line);
        }
    }

    @Test
    void aTakeIsOpenedAndClosedAndTheTapIsAMarkInIt() {
        assertThat(journal.stream()
                        .map(line -> line.text("kind"))
                        .filter(kind -> kind.startsWith("take-") || kind.equals("mark")))
                .as(job::story)
                .containsExactly("take-open", "mark", "take-close");
    }

    @Test
    void nothingStaysClosed() {
        Map<String, Boolean> last = new HashMap<>();
        lines("edge").forEach(line -> last.put(line.text("contact"), line.flag("closed")));
        assertThat(last)
                .as(job::story)
                .isEqualTo(Map.of("floor.left", false, "floor.middle", false, "floor.right", false, "box.red", false));
    }

    // An unplugged keyboard has its keys let go by the kernel, and that is read if it is read in time; raw reports just
    // end.
    @Test
    void aContactThatVanishesIsOpenedAsLost() {
        assertThat(lines("edge")
                        .filter(line -> line.flag("lost") && !line.flag("closed"))
                        .map(line -> line.text("contact")))
                .as(job::story)
                .contains("box.red")
                .isSubsetOf("box.red", "floor.left");
    }

    @Test
    void devicesAreReportedAsTheyComeAndGo() {
        assertThat(states("floor"))
                .as(job::story)
                .endsWith("up", "absent", "up")
                .filteredOn("up"::equals)
                .hasSize(2);
        assertThat(states("box"))
                .as(job::story)
                .endsWith("up", "absent", "up")
                .filteredOn("up"::equals)
                .hasSize(2);
    }

    @Test
    void theFloorPedalsCameBackOnAnotherNode() {
        assertThat(job.played().stream()
                        .filter(played ->
                                played.what().equals("plug") && played.device().equals("floor"))
                        .map(played -> played.rest().split(" ", 2)[0])
                        .distinct())
                .as(job::story)
                .hasSize(2);
    }

    @Test
    void noOtherReaderSeesWhatIsGrabbed() {
        assertThat(job.lines("onlooker-floor")).as(job::story).containsExactly("busy", "gone ENODEV");
        assertThat(job.lines("onlooker-again")).as(job::story).containsExactly("busy");
    }

    /** A foot switch that types has its letters in whatever program has the keyboard: here the kernel's own console, /dev/tty1. */
    @Test
    void nothingOfWhatIsGrabbedIsTypedIntoTheConsole() {
        assertThat(job.lines("console-typed")).as(job::story).isEmpty();
        assertThat(job.lines("console-after")).as(job::story).containsExactly("a");
    }

    @Test
    void aTerminationSignalEndsItWithThePedalsLetGo() {
        assertThat(job.lines("program-status")).as(job::story).containsExactly("0");
        assertThat(job.lines("onlooker-after").stream().map(line -> line.replaceAll("^event \\d+", "event")))
                .as(job::story)
                .startsWith("free", "event 30 1", "event 30 0");
    }

    @Test
    void nothingIsSaidOnStandardError() {
        assertThat(job.lines("errors")).as(job::story).isEmpty();
    }

    /** An edge that the feet made, and what was done to make it. */
    private record Made(String contact, boolean closed, Played by) {
        String inWords() {
            return contact + (closed ? " closed" : " open");
        }
    }

    /** What was played before the program was told to end, as edges; pulling the plug opens what is held. */
    private static List<Made> made(String pedal) {
        List<String> contacts = CONTACTS.getOrDefault(pedal, List.of());
        List<Made> made = new ArrayList<>();
        TreeSet<Integer> held = new TreeSet<>();
        List<Played> heard = job.played().stream()
                .takeWhile(played -> !played.rest().equals("nobody listens"))
                .filter(played -> played.device().equals(pedal))
                .toList();
        for (Played played : heard) {
            if (played.what().equals("unplug")) {
                held.forEach(at -> made.add(new Made(pedal + "." + contacts.get(at - 1), false, played)));
                held.clear();
            } else if (played.what().equals("report") && played.pedal() <= contacts.size()) {
                made.add(new Made(pedal + "." + contacts.get(played.pedal() - 1), played.isPress(), played));
                boolean changed = played.isPress() ? held.add(played.pedal()) : held.remove(played.pedal());
                assertThat(changed).isTrue();
            }
        }
        return made;
    }

    private static Stream<JournalLine> lines(String kind) {
        return journal.stream().filter(line -> line.is(kind));
    }

    private static Stream<JournalLine> edges(String pedal) {
        return journal.stream().filter(line -> line.isEdgeOf(pedal));
    }

    private static String inWords(JournalLine edge) {
        return edge.text("contact") + (edge.flag("closed") ? " closed" : " open");
    }

    private static List<String> states(String pedal) {
        return lines("device")
                .filter(line -> line.text("pedal").equals(pedal))
                .map(line -> line.text("state").toLowerCase(Locale.ROOT))
                .toList();
    }

    private static Map<String, Object> body(String request) throws Exception {
        return JSON.std.mapFrom(request.substring(request.indexOf("\r\n\r\n") + 4));
    }

    private static String hex(String text) {
        return HexFormat.of().formatHex(text.getBytes(ISO_8859_1));
    }
}
