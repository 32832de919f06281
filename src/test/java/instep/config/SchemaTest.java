package instep.config;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.Error;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import instep.machine.Variable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The schema for editors and the reader know the same language. The schema is judged by a library for JSON Schema 2020-12. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class SchemaTest {
    private static final Path FILE = Path.of("docs/instep.schema.json");
    private static final Path EVERYTHING = Path.of("src/test/resources/config/good/everything.yaml");
    private static final Path LTC = Path.of("src/test/resources/config/good/ltc.yaml");
    private static final Path TRANSPORTS = EVERYTHING.resolveSibling("transports.yaml");
    private static final Path SIGNALS = EVERYTHING.resolveSibling("signals.yaml");
    private static final String START = "instep: 1\ntimecode: { rate: 25 }\n";
    private static final String MACHINE = "machine: { states: { standby: } }\n";
    private static final String TOLD = START + MACHINE
            + "gear: { mixer: { tcp: \"192.0.2.10:9701\" }, desk: { http: \"http://192.0.2.11\" }, lamp: { osc: udp"
            + " 192.0.2.12:9703 } }\n";
    private static final String LISTEN = START + MACHINE + "pedals: { floor: { listen: ";
    private static final String PEDAL = START + MACHINE + "pedals: { floor: { match: { name: a }, contacts: { a: ";

    private JsonNode text;
    private Schema schema;

    @BeforeAll
    void read() throws IOException {
        text = new ObjectMapper().readTree(FILE.toFile());
        SchemaRegistry registry = SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12);
        schema = registry.getSchema(Files.readString(FILE));
    }

    /** Where in the schema a map of known keys is, and the keys that its reader knows. */
    private static Map<String, List<String>> readers() {
        Map<String, List<String>> readers = new LinkedHashMap<>();
        readers.put("", ConfigReader.KEYS);
        readers.put("/properties/timecode", TimecodeReader.KEYS);
        readers.put("/properties/machine", StateReader.ROOT_KEYS);
        readers.put("/properties/journal", JournalPlaceReader.KEYS);
        readers.put("/properties/desk", DeskReader.KEYS);
        readers.put("/properties/desk/properties/token", DeskReader.TOKEN);
        readers.put("/properties/cutlist", CutlistReader.KEYS);
        readers.put("/$defs/lead", CutlistReader.LEAD);
        readers.put("/$defs/retake", CutlistReader.RETAKE);
        readers.put("/$defs/snap", CutlistReader.SNAP);
        readers.put("/$defs/gear", GearReader.KEYS);
        readers.put("/$defs/gear/properties/basic", LinkReader.BASIC);
        readers.put("/$defs/gear/properties/bearer", LinkReader.BEARER);
        readers.put("/$defs/reply", ListeningReader.PATTERN);
        readers.put("/$defs/answer", AnswerReader.KEYS);
        readers.put("/$defs/expected", StepReader.EXPECT);
        readers.put("/$defs/heartbeat", ListeningReader.HEARTBEAT);
        readers.put("/$defs/poll", joined(HttpReader.KEYS, List.of("every")));
        readers.put("/$defs/poll/properties/expect", HttpReader.EXPECT);
        readers.put("/$defs/angle", AngleReader.KEYS);
        readers.put("/$defs/line", joined(PayloadReader.TEXT_KEYS, StepReader.OURS));
        readers.put("/$defs/tone", joined(ToneReader.KEYS, StepReader.OURS));
        readers.put("/$defs/osc", joined(OscReader.KEYS, StepReader.OURS));
        readers.put("/$defs/bundle", joined(OscReader.BUNDLE, StepReader.OURS));
        readers.put("/$defs/oscArgument", OscReader.TAGS);
        readers.put("/$defs/request", joined(HttpReader.KEYS, StepReader.OURS));
        readers.put("/$defs/request/properties/expect", joined(HttpReader.EXPECT, StepReader.OF_BODY));
        readers.put("/$defs/pedal", PedalReader.KEYS);
        readers.put("/$defs/match", MatchReader.KEYS);
        readers.put("/$defs/listen", NetReader.KEYS);
        readers.put("/$defs/listen/properties/token", NetReader.TOKEN);
        readers.put("/$defs/netContact", NetContactReader.KEYS);
        readers.put("/$defs/signal", ContactReader.KEYS);
        readers.put("/$defs/moves", MovesReader.KEYS);
        readers.put("/$defs/timing", TimingReader.KEYS);
        readers.put("/$defs/bounded", DataReader.KEYS);
        readers.put("/$defs/state", StateReader.KEYS);
        readers.put("/$defs/transition", TransitionReader.KEYS);
        readers.put("/$defs/action", ActionReader.KEYS);
        readers.put("/$defs/setTo", ActionReader.SET_KEYS);
        readers.put("/$defs/bounds", CondReader.BOUNDS);
        return readers;
    }

    private static List<String> joined(List<String> some, List<String> more) {
        return Stream.concat(some.stream(), more.stream()).distinct().toList();
    }

    @Test
    void knowsTheKeysThatTheReaderKnows() {
        readers()
                .forEach((where, keys) -> assertThat(
                                text.at(where + "/properties").fieldNames())
                        .toIterable()
                        .as(where)
                        .containsExactlyInAnyOrderElementsOf(keys));
    }

    @Test
    void hasNoMapOfKnownKeysButThoseOfTheReader() {
        List<String> closed = new ArrayList<>();
        visit("", text, (where, node) -> {
            if (node.has("additionalProperties")
                    && node.get("additionalProperties").isBoolean()) {
                assertThat(node.get("additionalProperties").asBoolean()).isFalse();
                closed.add(where);
            }
        });
        assertThat(closed).containsExactlyInAnyOrderElementsOf(readers().keySet());
    }

    @Test
    void explainsEveryKeyToAPersonWhoHoversOverIt() {
        readers()
                .keySet()
                .forEach(where -> text.at(where + "/properties").properties().forEach(key -> {
                    JsonNode own = key.getValue();
                    JsonNode meant =
                            own.has("$ref") ? text.at(own.get("$ref").asText().substring(1)) : own;
                    assertThat(own.has("description") || meant.has("description"))
                            .as("%s %s", where, key.getKey())
                            .isTrue();
                }));
    }

    @Test
    void knowsTheWordsThatTheReaderKnows() {
        assertThat(words("/properties/timecode/properties/source")).isEqualTo(TimecodeReader.SOURCES.keySet());
        assertThat(words("/properties/timecode/properties/rate")).isEqualTo(TimecodeReader.RATES.keySet());
        assertThat(words("/properties/cutlist/properties/prefer")).isEqualTo(CutlistReader.MEDIA.keySet());
        assertThat(words("/properties/cutlist/properties/retake/anyOf/0")).isEqualTo(CutlistReader.FATES.keySet());
        assertThat(words("/$defs/retake/properties/passage")).isEqualTo(CutlistReader.FATES.keySet());
        assertThat(words("/$defs/cleanPoint")).isEqualTo(CutlistReader.CLEAN_POINTS.keySet());
        assertThat(words("/$defs/gear/properties/line-end")).isEqualTo(LinkReader.LINE_ENDS.keySet());
        assertThat(words("/$defs/gear/properties/length-prefix")).isEqualTo(LinkReader.PREFIXES.keySet());
        assertThat(words("/$defs/gear/properties/framing")).isEqualTo(LinkReader.FRAMINGS.keySet());
        assertThat(words("/$defs/gear/properties/baud")).isEqualTo(LinkReader.BAUDS.keySet());
        assertThat(words("/$defs/gear/properties/data-bits")).isEqualTo(LinkReader.DATA_BITS.keySet());
        assertThat(words("/$defs/gear/properties/stop-bits")).isEqualTo(LinkReader.STOP_BITS.keySet());
        assertThat(words("/$defs/gear/properties/parity")).isEqualTo(LinkReader.PARITIES.keySet());
        assertThat(words("/properties/reload")).isEqualTo(ConfigReader.RELOADS.keySet());
        assertThat(words("/properties/after-crash")).isEqualTo(ConfigReader.AFTER_CRASH.keySet());
        assertThat(words("/properties/journal/properties/durability"))
                .isEqualTo(JournalPlaceReader.DURABILITIES.keySet());
        assertThat(words("/$defs/state/properties/history")).isEqualTo(StateReader.HISTORIES.keySet());
        assertThat(text.at("/$defs/cond/properties").fieldNames())
                .toIterable()
                .containsExactlyInAnyOrderElementsOf(Scope.CONDITIONS);
        Set<String> taken = new HashSet<>(Variable.READ_ONLY);
        taken.addAll(Scope.CONDITIONS);
        assertThat(words("/properties/data/propertyNames/allOf/1/not")).isEqualTo(taken);
    }

    /** So that a key which the reader knows cannot be missing from the file that holds the two together. */
    @Test
    void theFileOfEverythingHasEveryKey() throws IOException {
        String everything = Files.readString(EVERYTHING) + Files.readString(LTC);
        readers()
                .forEach((where, keys) -> assertThat(keys)
                        .as(where)
                        .allSatisfy(key -> assertThat(everything).containsPattern("(^|[\\s{,])" + key + ":")));
    }

    static Stream<Path> files() throws IOException {
        try (Stream<Path> examples = Files.list(Path.of("config-examples"))) {
            return Stream.concat(
                    Stream.of(EVERYTHING, LTC, TRANSPORTS, SIGNALS),
                    examples.filter(file -> file.toString().endsWith(".yaml")).sorted().toList().stream());
        }
    }

    @ParameterizedTest
    @MethodSource("files")
    void acceptsEveryGoodFile(Path file) throws IOException {
        assertThat(faults(Files.readString(file))).isEmpty();
    }

    @ParameterizedTest
    @MethodSource("instep.config.LanguagePageTest#complete")
    void acceptsEveryWholeFileOfThePage(String file) {
        assertThat(faults(file)).isEmpty();
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "",
                "[1]",
                "instep: 2\ntimecode: { rate: 25 }\n" + MACHINE,
                "timecode: { rate: 25 }\n" + MACHINE,
                "instep: 1\ntimecode: { rate: 26 }\n" + MACHINE,
                "instep: 1\ntimecode: { rate: 25, source: clock }\n" + MACHINE,
                "instep: 1\ntimecode: { rate: 25, source: count-up, start: \"1:00\" }\n" + MACHINE,
                START + "machine: { states: {} }",
                START + "machine: { initial: a }",
                START + "machine: { states: { machine: } }",
                START + MACHINE + "gera: {}",
                START + MACHINE + "gear: { mixer: { line-end: lf } }",
                START + MACHINE + "gear: { mixer: { tcp: 192.0.2.10:9701, osc: udp 192.0.2.12:9703 } }",
                START + MACHINE + "gear: { mixer: { tcp: 192.0.2.10 } }",
                START + MACHINE + "gear: { mixer: { tcp: \"192.0.2.10:9701\", line-end: crfl } }",
                START + MACHINE + "gear: { mixer: { tcp: \"192.0.2.10:9701\", within: 1s } }",
                START + MACHINE + "gear: { mixer: { http: https://192.0.2.10, stale-after: 1 h } }",
                START + MACHINE + "gear: { bad name: { tcp: \"192.0.2.10:9701\" } }",
                START + MACHINE + "angles: { wide: { cut: { mixer: CUT } } }",
                START + MACHINE + "angles: { wide: { reel: WIDE, cut: CUT } }",
                START + MACHINE + "angles: { wide: { reel: WIDE, offset: -2 frames } }",
                START + MACHINE + "messages: { roll: [] }",
                START + MACHINE + "messages: { roll: { recorder: { put: /a, post: /b } } }",
                START + MACHINE + "messages: { roll: { recorder: { get: /a, json: {} } } }",
                START + MACHINE + "messages: { roll: { recorder: { put: a } } }",
                START + MACHINE + "messages: { roll: { recorder: { put: /a, text: a, json: 1 } } }",
                START + MACHINE + "messages: { roll: { recorder: { put: /a, expect: { status: 99 } } } }",
                START + MACHINE + "messages: { roll: { mixer: { text: a, hex: \"02\" } } }",
                START + MACHINE + "messages: { roll: { lamp: { osc: lamp } } }",
                START + MACHINE + "messages: { roll: { lamp: { osc: /lamp, args: [{ x: 1 }] } } }",
                START + MACHINE + "pedals: { floor: { contacts: { left: KEY_A } } }",
                START + MACHINE + "pedals: { floor: { match: {}, contacts: { left: KEY_A } } }",
                START + MACHINE + "pedals: { floor: { match: { usb: \"1209\" }, contacts: { left: KEY_A } } }",
                START + MACHINE + "pedals: { floor: { match: { usb: \"1209:2303\" }, contacts: [left] } }",
                START + MACHINE + "pedals: { floor: { match: { usb: \"1209:2303\" }, contacts: { left: } } }",
                START + MACHINE + "pedals: { floor: { match: { name: a, which: 0 }, contacts: { left: KEY_A } } }",
                START + MACHINE + "pedals: { floor: { match: { name: a }, grab: 1, contacts: { left: KEY_A } } }",
                START + MACHINE + "pedals: { floor: { match: { name: a }, contacts: { left: { byte: 1 } } } }",
                START + MACHINE + "pedals: { floor: { match: { name: a }, contacts: { left: { byte: 1, bit: 8 } } } }",
                START + MACHINE + "pedals: { floor: { match: { name: a }, contacts: { left: { key: A, bit: 1 } } } }",
                START + MACHINE + "pedals: { floor: { match: { name: a }, performance: f, contacts: [a] } }",
                START + MACHINE + "pedals: { floor: { performance: f, contacts: { a: { key: KEY_A } } } }",
                LISTEN + "{ osc: 9100, tcp: 9101 }, contacts: { a: } } }",
                LISTEN + "{ osc: 0 }, contacts: { a: } } }",
                LISTEN + "{ osc: studio:9100 }, contacts: { a: } } }",
                LISTEN + "{ osc: 9100, from: [studio] }, contacts: { a: } } }",
                LISTEN + "{ osc: 9100, token: { secret: a } }, contacts: { a: } } }",
                LISTEN + "{ from: [192.0.2.7] }, contacts: { a: } } }",
                LISTEN + "{ osc: 9100 }, match: { name: a }, contacts: { a: } } }",
                LISTEN + "{ osc: 9100 }, contacts: { a: { osc: \"/a*\" } } } }",
                LISTEN + "{ osc: 9100 }, contacts: { a: { key: KEY_A } } } }",
                LISTEN + "{ tcp: 9101 }, contacts: { a: { open: b } } } }",
                PEDAL + "{ axis: ABS_Z, press-above: 60% } } } }",
                PEDAL + "{ axis: ABS_Z, press-above: 60, release-below: 40 } } } }",
                PEDAL + "{ axis: ABS_Z, press-above: 60%, release-above: 40% } } } }",
                PEDAL + "{ axis: ABS_Z, step: up } } } }",
                PEDAL + "{ key: KEY_A, press-above: 60%, release-below: 40% } } } }",
                PEDAL + "{ wheel: REL_DIAL } } } }",
                PEDAL + "{ wheel: REL_DIAL, step: left } } } }",
                PEDAL + "{ wheel: REL_DIAL, step: up, hold: 1s } } } }",
                PEDAL + "{ usage: \"button 1\", bit: 1 } } } }",
                PEDAL + "{ usage: \"button 1\", report: 0 } } } }",
                PEDAL + "{ byte: 1, bit: 1, mask: 2 } } } }",
                PEDAL + "{ byte: 1, equals: 2 } } } }",
                PEDAL + "{ byte: 1, mask: 256 } } } }",
                PEDAL + "{ axis: ABS_Z, moves: { at-most: 25/s } } } } }",
                PEDAL + "{ axis: ABS_Z, moves: { send: roll } } } } }",
                PEDAL
                        + "{ axis: ABS_Z, moves: { send: { mixer: a }, at-most: 25 } } } } }\ngear: { mixer: { tcp: \"192.0.2.10:1\" } }",
                PEDAL
                        + "{ key: KEY_A, moves: { send: { mixer: a } } } } } }\ngear: { mixer: { tcp: \"192.0.2.10:1\" } }",
                START + MACHINE + "gear: { wait: { tcp: \"192.0.2.10:9701\" } }",
                START + MACHINE + "gear: { mixer: { tls: 192.0.2.10 } }",
                START + MACHINE + "gear: { mixer: { tcp: \"192.0.2.10:9701\", trust: a.pem } }",
                START + MACHINE + "gear: { mixer: { tcp: \"192.0.2.10:9701\", length-prefix: 3 } }",
                START + MACHINE + "gear: { mixer: { tcp: \"192.0.2.10:9701\", length-prefix: 2, line-end: lf } }",
                START + MACHINE + "gear: { mixer: { udp: \"192.0.2.10:9701\", length-prefix: 2 } }",
                START + MACHINE + "gear: { mixer: { osc: udp 192.0.2.10:9701, framing: slip } }",
                START + MACHINE + "gear: { mixer: { http: \"http://192.0.2.10\", trust: a.pem } }",
                START + MACHINE + "gear: { mixer: { http: \"http://192.0.2.10\", basic: { user: a } } }",
                START + MACHINE + "gear: { mixer: { http: \"http://192.0.2.10\", bearer: { secret: open sesame } } }",
                START + MACHINE
                        + "gear: { mixer: { http: \"http://192.0.2.10\", basic: { user: a, secret: b }, bearer: { secret: b } } }",
                START + MACHINE + "gear: { mixer: { ws: \"http://192.0.2.10\" } }",
                START + MACHINE + "gear: { mixer: { ws: \"ws://192.0.2.10\", follow: true } }",
                START + MACHINE + "gear: { mixer: { serial: /dev/ttyS0, baud: 9601 } }",
                START + MACHINE + "gear: { mixer: { serial: /dev/ttyS0, parity: mark } }",
                START + MACHINE + "gear: { mixer: { tcp: \"192.0.2.10:9701\", poll: { get: /a } } }",
                START + MACHINE + "gear: { mixer: { http: \"http://192.0.2.10\", poll: { get: /a, retry: 2 } } }",
                START + MACHINE + "gear: { mixer: { tcp: \"192.0.2.10:9701\", heartbeat: { every: 5s } } }",
                START + MACHINE + "gear: { mixer: { tcp: \"192.0.2.10:9701\", roll-within: 2s } }",
                START + MACHINE
                        + "gear: { mixer: { tcp: \"192.0.2.10:9701\", roll-within: 2s, replies: [{ line: a, event: b }] } }",
                START + MACHINE
                        + "gear: { mixer: { tcp: \"192.0.2.10:9701\", confirm-within: 2s, replies: [{ line: a, event: b }] } }",
                START + MACHINE + "gear: { mixer: { tcp: \"192.0.2.10:9701\", replies: { line: a, event: b } } }",
                START + MACHINE + "gear: { mixer: { tcp: \"192.0.2.10:9701\", replies: [{ line: a }] } }",
                START + MACHINE + "gear: { mixer: { tcp: \"192.0.2.10:9701\", replies: [{ event: a }] } }",
                START + MACHINE
                        + "gear: { mixer: { tcp: \"192.0.2.10:9701\", replies: [{ line: a, osc: /b, event: c }] } }",
                START + MACHINE
                        + "gear: { mixer: { tcp: \"192.0.2.10:9701\", replies: [{ line: a, equals: b, event: c }] } }",
                START + MACHINE + "gear: { mixer: { tcp: \"192.0.2.10:9701\", replies: [{ pointer: b, event: c }] } }",
                TOLD + "messages: { roll: [{ wait: 120 }] }",
                TOLD + "messages: { roll: { mixer: { text: a, retry: 1, expect: b } } }",
                TOLD + "messages: { roll: { mixer: { text: a, retry: 1, repeatable: true } } }",
                TOLD + "messages: { roll: { mixer: { text: a, retry: 11, repeatable: true, expect: b } } }",
                TOLD + "messages: { roll: { mixer: { text: a, expect: { status: 200 } } } }",
                TOLD + "messages: { roll: { mixer: { text: a, expect: { equals: b } } } }",
                TOLD + "messages: { roll: { mixer: { text: a, json: 1 } } }",
                TOLD + "messages: { roll: { lamp: { bundle: [] } } }",
                TOLD + "messages: { roll: { lamp: { bundle: [{ osc: /a, retry: 1 }] } } }",
                TOLD + "messages: { roll: { desk: { get: /a, form: { b: c } } } }",
                TOLD + "messages: { roll: { desk: { put: /a, json: 1, form: { b: c } } } }",
                TOLD + "messages: { roll: { desk: { put: /a, query: [b] } } }",
                TOLD + "messages: { roll: { desk: { post: /a, retry: 1 } } }",
                TOLD + "messages: { roll: { desk: { put: /a, expect: { osc: /b } } } }",
                START + MACHINE + "timing: { hold: 500 }",
                START + MACHINE + "timing: { hodl: 500ms }",
                START + MACHINE + "data: { take: 1 }",
                START + MACHINE + "data: { iris: { min: 1 } }",
                START + MACHINE + "data: { iris: { initial: a, min: 1 } }",
                START + MACHINE + "data: { iris: 1.5 }",
                START + MACHINE + "journal: { path: a }",
                START + MACHINE + "cutlist: { lead: 4 }",
                START + MACHINE + "cutlist: { lead: { going: 4f, back: 2f } }",
                START + MACHINE + "cutlist: { retake: delete }",
                START + MACHINE + "cutlist: { retake: { since: [cut] } }",
                START + MACHINE + "cutlist: { retake: { passage: drop, since: [take] } }",
                START + MACHINE + "cutlist: { start: \"1:00\" }",
                START + MACHINE + "cutlist: { snap: { within: 1s } }",
                START + MACHINE + "cutlist: { snap: { sound: a.wav, below: 3 } }",
                START + MACHINE + "cutlist: { prefer: small }",
                START + "machine: { states: { a: { parallel: true } } }",
                START + "machine: { states: { a: { history: deap, target: b } } }",
                START + "machine: { states: { a: { history: deep } } }",
                START + "machine: { states: { a: { target: b } } }",
                START + "machine: { states: { a: { final: true, on: { b: c } } } }",
                START + "machine: { states: { a: { initial: b } } }",
                START + "machine: { states: { a: { on: { b: } } } }",
                START + "machine: { states: { a: { on: { b: [] } } } }",
                START + "machine: { states: { a: { on: { b: { until: 3s } } } } }",
                START + "machine: { states: { a: { on: { b: { text: a } } } } }",
                START + "machine: { states: { a: { on: { b: { cond: {} } } } } }",
                START + "machine: { states: { a: { on: { b: { cond: { any: { in: a } } } } } } }",
                START + "machine: { states: { a: { on: { b: { cond: { take: { over: 3 } } } } } } }",
                START + "machine: { states: { a: { on: { b: { after: soon } } } } }",
                START + "machine: { states: { a: { on: { b: { set: { n: { by: 1 } } } } } } }",
                START + "machine: { states: { a: { onentry: { angle: wide } } } }",
            })
    void refusesWhatTheReaderRefuses(String file) {
        assertThat(faults(file)).isNotEmpty();
        assertThat(org.assertj.core.api.Assertions.catchThrowable(() -> ConfigReader.parse("f", file, TestKeys.CODES)))
                .isInstanceOf(ConfigException.class);
    }

    private List<Error> faults(String yaml) {
        return schema.validate(yaml, InputFormat.YAML);
    }

    private Set<String> words(String where) {
        Set<String> words = new HashSet<>();
        text.at(where + "/enum").forEach(word -> words.add(word.asText()));
        return words;
    }

    private interface Visitor {
        void visit(String where, JsonNode node);
    }

    private static void visit(String where, JsonNode node, Visitor visitor) {
        visitor.visit(where, node);
        node.properties().forEach(child -> visit(where + "/" + child.getKey(), child.getValue(), visitor));
    }
}
