package instep.config;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gear.GearSettings.LineEnd;
import instep.gear.Listening;
import instep.gear.Message;
import instep.gear.SerialLine;
import instep.gesture.GestureKind;
import instep.gesture.Timing;
import instep.machine.Chart;
import instep.machine.Variable;
import instep.machine.Vocabulary;
import instep.time.FrameRate;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;

/** The tables of the language page say what the reader knows, no more and no less. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class LanguageTablesTest {
    private static final Pattern CODE = Pattern.compile("`([^`]+)`");

    private String page;

    @BeforeAll
    void read() throws IOException {
        page = Files.readString(Path.of("docs/language.md"));
    }

    @Test
    void explainsEachSectionUnderItsOwnHeading() {
        List<String> headings = Pattern.compile("^### (\\S+)$", Pattern.MULTILINE)
                .matcher(page)
                .results()
                .map(heading -> heading.group(1))
                .toList();
        assertThat(headings).containsExactlyInAnyOrderElementsOf(ConfigReader.KEYS);
        String first = between("At the top of the file stand", "Their order");
        assertThat(codes(first)).containsExactlyInAnyOrderElementsOf(ConfigReader.KEYS);
    }

    @Test
    void listsTheKeysOfEachSection() {
        assertThat(keys("### timecode", "| key ")).containsExactlyInAnyOrderElementsOf(TimecodeReader.KEYS);
        assertThat(keys("### journal", "| key ")).containsExactlyInAnyOrderElementsOf(JournalPlaceReader.KEYS);
        assertThat(keys("### desk", "| key ")).containsExactlyInAnyOrderElementsOf(DeskReader.KEYS);
        assertThat(codes(cell(row("### desk", "`token`"), 2)))
                .containsExactly("{ " + String.join(": NAME, ", DeskReader.TOKEN) + ": NAME }");
        assertThat(keys("### reload", "| value ")).containsExactlyInAnyOrderElementsOf(ConfigReader.RELOADS.keySet());
        assertThat(keys("### after-crash", "| value "))
                .containsExactlyInAnyOrderElementsOf(ConfigReader.AFTER_CRASH.keySet());
        assertThat(keys("### cutlist", "| key ")).containsExactlyInAnyOrderElementsOf(CutlistReader.KEYS);
        assertThat(keys("### cutlist", "| key of `retake` ")).containsExactlyInAnyOrderElementsOf(CutlistReader.RETAKE);
        assertThat(keys("### cutlist", "| key of `snap` ")).containsExactlyInAnyOrderElementsOf(CutlistReader.SNAP);
        assertThat(row("### cutlist", "`lead`")).contains(CutlistReader.LEAD);
        assertThat(codes(cell(row("### cutlist", "`passage`"), 2)))
                .containsExactlyElementsOf(CutlistReader.FATES.keySet());
        assertThat(codes(cell(row("### cutlist", "`since`"), 2)))
                .containsExactlyElementsOf(CutlistReader.CLEAN_POINTS.keySet());
        assertThat(codes(cell(row("### cutlist", "`prefer`"), 2)))
                .containsExactlyElementsOf(CutlistReader.MEDIA.keySet());
        assertThat(keys("### angles", "| key ")).containsExactlyInAnyOrderElementsOf(AngleReader.KEYS);
        assertThat(keys("### timing", "| key ")).containsExactlyInAnyOrderElementsOf(TimingReader.KEYS);
        assertThat(keys("### data", "| key of a value ")).containsExactlyInAnyOrderElementsOf(DataReader.KEYS);
    }

    @Test
    void listsTheKeysOfGear() {
        List<String> ofGear = new ArrayList<>(keys("### gear", "| address ").stream()
                .map(address -> address.substring(0, address.indexOf(':')))
                .distinct()
                .toList());
        assertThat(ofGear).containsExactlyElementsOf(Transport.words());
        ofGear.addAll(keys("### gear", "| key "));
        List<String> heard = keys("How it is listened to:", "| key ");
        assertThat(heard).containsExactlyInAnyOrderElementsOf(ListeningReader.KEYS);
        ofGear.addAll(heard);
        assertThat(ofGear).containsExactlyInAnyOrderElementsOf(GearReader.KEYS);
        assertThat(codes(cell(row("### gear", "`basic`"), 2)))
                .containsExactly("{ " + String.join(": NAME, ", LinkReader.BASIC) + ": NAME }");
        assertThat(codes(cell(row("### gear", "`bearer`"), 2)))
                .containsExactly("{ " + String.join(": NAME, ", LinkReader.BEARER) + ": NAME }");
    }

    @Test
    void listsTheKeysOfWhatGearSays() {
        List<String> pattern = new ArrayList<>(keys("#### replies", "| key | the reply "));
        assertThat(pattern).containsExactlyInAnyOrderElementsOf(AnswerReader.KEYS);
        pattern.addAll(keys("#### replies", "| key | what follows "));
        assertThat(pattern).containsExactlyInAnyOrderElementsOf(ListeningReader.PATTERN);
        assertThat(keys("#### heartbeat", "| key ")).containsExactlyInAnyOrderElementsOf(ListeningReader.HEARTBEAT);
    }

    @Test
    void listsTheKeysOfSteps() {
        assertThat(keys("#### Answers and waiting", "| key of a step "))
                .containsExactlyInAnyOrderElementsOf(StepReader.OURS);
        assertThat(keys("#### Answers and waiting", "| key of `expect` "))
                .containsExactlyInAnyOrderElementsOf(Stream.of(StepReader.EXPECT, HttpReader.EXPECT, StepReader.OF_BODY)
                        .flatMap(List::stream)
                        .distinct()
                        .toList());
    }

    @Test
    void listsTheKeysOfWhatGearIsTold() {
        assertThat(keys("**tcp, ", "| key ")).containsExactlyInAnyOrderElementsOf(PayloadReader.TEXT_KEYS);
        assertThat(keys("**sound:**", "| key ")).containsExactlyInAnyOrderElementsOf(ToneReader.KEYS);
        assertThat(keys("**osc:**", "| key ")).containsExactlyInAnyOrderElementsOf(OscReader.KEYS);
        assertThat(keys("Messages that the gear is to act on together", "| key "))
                .containsExactlyInAnyOrderElementsOf(OscReader.BUNDLE);
        List<String> ofRequest = new ArrayList<>(keys("**http:**", "| key "));
        ofRequest.add("expect"); // stands among the keys of every step
        assertThat(ofRequest).containsExactlyInAnyOrderElementsOf(HttpReader.KEYS);
        String types = between("Other\ntypes are named:", "\n\n");
        assertThat(Pattern.compile("\\{ (\\w):")
                        .matcher(types)
                        .results()
                        .map(type -> type.group(1))
                        .distinct())
                .containsExactlyInAnyOrderElementsOf(OscReader.TAGS);
    }

    @Test
    void listsTheKeysOfPedals() {
        assertThat(keys("### pedals", "| key ")).containsExactlyInAnyOrderElementsOf(PedalReader.KEYS);
        assertThat(keys("### pedals", "| key in `match` ")).containsExactlyInAnyOrderElementsOf(MatchReader.KEYS);
        assertThat(keys("### pedals", "| key of a contact ")).containsExactlyInAnyOrderElementsOf(ContactReader.KEYS);
        assertThat(keys("#### Contacts over the network", "| key of `listen` "))
                .containsExactlyInAnyOrderElementsOf(NetReader.KEYS);
        assertThat(keys("#### Contacts over the network", "| key of a contact "))
                .containsExactlyInAnyOrderElementsOf(NetContactReader.KEYS);
        assertThat(keys("#### Positions", "| key of `moves` ")).containsExactlyInAnyOrderElementsOf(MovesReader.KEYS);
    }

    @Test
    void listsTheKeysOfTheMachine() {
        assertThat(keys("### machine", "| key of `machine` "))
                .containsExactlyInAnyOrderElementsOf(StateReader.ROOT_KEYS);
        assertThat(keys("### machine", "| key of a state ")).containsExactlyInAnyOrderElementsOf(StateReader.KEYS);
        assertThat(keys("### machine", "| action ")).containsExactlyInAnyOrderElementsOf(ActionReader.KEYS);
        List<String> ofTransition = new ArrayList<>(keys("### machine", "| key of a transition "));
        ofTransition.addAll(ActionReader.KEYS);
        assertThat(ofTransition).containsExactlyInAnyOrderElementsOf(TransitionReader.KEYS);
    }

    @Test
    void listsTheGesturesInTheWordsOfTheCode() {
        assertThat(keys("## Gestures", "| gesture "))
                .containsExactlyInAnyOrderElementsOf(Arrays.stream(GestureKind.values())
                        .map(GestureKind::word)
                        .toList());
    }

    @Test
    void listsTheEventsOfGearAndPedals() {
        List<String> events = keys("## Events", "| event ");
        assertThat(events.stream()
                        .filter(event -> event.startsWith("mixer.") || event.startsWith("recorder."))
                        .map(event -> event.substring(event.indexOf('.') + 1))
                        .distinct())
                .containsExactlyInAnyOrderElementsOf(Vocabulary.GEAR_EVENTS);
        assertThat(events.stream()
                        .filter(event -> event.startsWith("floor.") && !event.contains("left"))
                        .map(event -> event.substring(6)))
                .containsExactlyInAnyOrderElementsOf(Vocabulary.PEDAL_EVENTS);
    }

    @Test
    void listsTheValuesAndTheWordsOfConditions() {
        assertThat(keys("## Values", "| value ")).containsExactlyInAnyOrderElementsOf(Variable.READ_ONLY);
        List<String> lines = keys("## Conditions", "| line ").stream()
                .map(line -> line.substring(0, line.indexOf(':')))
                .toList();
        assertThat(lines).containsAll(Scope.CONDITIONS);
        assertThat(row("## Conditions", "`take:"))
                .contains(CondReader.BOUNDS.get(0) + ":", CondReader.BOUNDS.get(1) + ":");
        assertThat(codes(between("or of a word of [conditions](#conditions) (", ")")))
                .containsExactlyInAnyOrderElementsOf(Scope.CONDITIONS);
    }

    @Test
    void listsTheWordsThatAValueCanBe() {
        assertThat(codes(cell(row("### timecode", "`rate`"), 2)))
                .containsExactlyInAnyOrderElementsOf(FrameRate.labels());
        assertThat(codes(cell(row("### timecode", "`source`"), 2))).containsAll(TimecodeReader.SOURCES.keySet());
        assertThat(codes(cell(row("### gear", "`line-end`"), 2)))
                .containsAll(Arrays.stream(LineEnd.values()).map(LineEnd::word).toList());
        assertThat(codes(cell(row("### gear", "`length-prefix`"), 2))).containsAll(LinkReader.PREFIXES.keySet());
        assertThat(codes(cell(row("### gear", "`framing`"), 2))).containsAll(LinkReader.FRAMINGS.keySet());
        assertThat(codes(cell(row("### gear", "`baud`"), 2))).containsExactlyElementsOf(LinkReader.BAUDS.keySet());
        assertThat(codes(cell(row("### gear", "`data-bits`"), 2))).containsAll(LinkReader.DATA_BITS.keySet());
        assertThat(codes(cell(row("### gear", "`stop-bits`"), 2))).containsAll(LinkReader.STOP_BITS.keySet());
        assertThat(codes(cell(row("### gear", "`parity`"), 2))).containsAll(LinkReader.PARITIES.keySet());
        assertThat(codes(cell(row("### machine", "`history`"), 2))).containsAll(StateReader.HISTORIES.keySet());
    }

    @Test
    void namesWhatHoldsWhereNothingIsSaid() {
        assertThat(nanos("### timing", "`debounce`")).isEqualTo(Timing.DEFAULT.debounce());
        assertThat(nanos("### timing", "`hold`")).isEqualTo(Timing.DEFAULT.hold());
        assertThat(nanos("### timing", "`double-tap`")).isEqualTo(Timing.DEFAULT.doubleTap());
        assertThat(nanos("### timing", "`lift-grace`")).isEqualTo(Timing.DEFAULT.liftGrace());
        assertThat(nanos("### gear", "`within`")).isEqualTo(LinkReader.WITHIN);
        assertThat(nanos("### gear", "`stale-after`")).isEqualTo(GearReader.STALE_AFTER);
        assertThat(nanos("### gear", "`ping-every`")).isEqualTo(LinkReader.PING_EVERY);
        assertThat(codes(cell(row("### gear", "`baud`"), 4)))
                .containsExactly(Integer.toString(SerialLine.USUAL.baud()));
        assertThat(nanosIn(cell(row("### gear", "`roll-within`"), 4))).isEqualTo(Listening.ROLL_WITHIN);
        assertThat(codes(cell(row("### gear", "`queue`"), 4))).containsExactly(Integer.toString(Listening.QUEUE));
        assertThat(nanosIn(cell(row("### gear", "`confirm-within`"), 4))).isEqualTo(Listening.CONFIRM_WITHIN);
        assertThat(cell(row("### gear", "`poll`"), 4)).contains("for `every` `500ms`");
        assertThat(ListeningReader.ASK).isEqualTo(500_000_000L);
        assertThat(nanos("#### heartbeat", "`every`")).isEqualTo(ListeningReader.BEAT);
        assertThat(nanos("#### heartbeat", "`within`")).isEqualTo(ListeningReader.ANSWER);
        assertThat(nanosIn(cell(row("#### Answers and waiting", "`within`"), 2)))
                .isEqualTo(Message.Expect.WITHIN);
    }

    @Test
    void namesTheLimitsThatHold() {
        assertThat(page.substring(page.indexOf("\n## Limits")))
                .contains(
                        YamlLimits.SIZE,
                        "nested at most " + YamlLimits.DEPTH + " deep",
                        "at most " + YamlLimits.ALIASES + " uses",
                        String.format("%,d", YamlLimits.VALUES) + " values",
                        String.format("at most %,d: a contact", Chart.PLACES));
    }

    /** The words in the code of the first column of the table with that head, the first below a heading. */
    private List<String> keys(String heading, String head) {
        return table(heading, head).stream()
                .flatMap(row -> codes(cell(row, 1)).stream())
                .toList();
    }

    private List<String> table(String heading, String head) {
        int table = page.indexOf("\n" + head, page.indexOf("\n" + heading));
        assertThat(table).as("%s %s", heading, head).isPositive();
        return page.substring(table + 1)
                .lines()
                .skip(2)
                .takeWhile(line -> line.startsWith("|"))
                .toList();
    }

    private String row(String heading, String begins) {
        int row = page.indexOf("\n| " + begins, page.indexOf("\n" + heading));
        assertThat(row).as("%s %s", heading, begins).isPositive();
        return page.substring(row + 1, page.indexOf('\n', row + 1));
    }

    private long nanos(String heading, String begins) {
        String row = row(heading, begins);
        int last = row.split("\\|", -1).length - 2;
        return nanosIn(cell(row, last));
    }

    private static long nanosIn(String cell) {
        return DurationText.nanos(codes(cell).get(0), FrameRate.R25).orElseThrow();
    }

    private static String cell(String row, int number) {
        return row.split("\\|", -1)[number];
    }

    private String between(String begin, String end) {
        int from = page.indexOf(begin);
        assertThat(from).as(begin).isPositive();
        return page.substring(from + begin.length(), page.indexOf(end, from + begin.length()));
    }

    private static List<String> codes(String text) {
        return CODE.matcher(text).results().map(code -> code.group(1)).toList();
    }
}
