package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** docs/journal.schema.json says the same as the code, and what is written obeys it. It is judged by a library for JSON Schema 2020-12. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class JournalSchemaTest {
    private static final Path FILE = Path.of("docs", "journal.schema.json");

    @TempDir
    private Path folder;

    private JsonNode text;
    private Schema schema;

    @BeforeAll
    void read() throws IOException {
        text = new ObjectMapper().readTree(FILE.toFile());
        schema = SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(Files.readString(FILE));
    }

    private List<String> faults(String line) {
        return schema.validate(line, InputFormat.JSON).stream()
                .map(Object::toString)
                .toList();
    }

    @ParameterizedTest
    @EnumSource(Kind.class)
    void knowsTheFieldsOfEachKind(Kind kind) {
        JsonNode variant = StreamSupport.stream(text.at("/oneOf").spliterator(), false)
                .filter(one -> one.at("/properties/kind/const").asText().equals(kind.word()))
                .findFirst()
                .orElseThrow();
        List<String> names = new ArrayList<>(List.of("kind"));
        List<String> required = new ArrayList<>(List.of("kind"));
        if (kind.isFramed()) {
            names.add(Key.FRAME);
            required.add(Key.FRAME);
        }
        for (RecordShape.Field field : RecordShape.of(kind)) {
            names.add(field.name());
            if (field.required()) {
                required.add(field.name());
            }
        }
        Set<String> said = new LinkedHashSet<>();
        variant.get("properties").fieldNames().forEachRemaining(said::add);
        assertThat(said).containsExactlyInAnyOrderElementsOf(names);
        List<String> asked = new ArrayList<>();
        variant.get("required").forEach(name -> asked.add(name.asText()));
        assertThat(asked).containsExactlyInAnyOrderElementsOf(required);
    }

    static List<Happening> happenings() {
        return JournalDocsTest.happenings();
    }

    @ParameterizedTest
    @MethodSource("happenings")
    void acceptsWhatIsWritten(Happening what) throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(1, 900_000, what);
        }
        assertThat(Files.readAllLines(TestJournal.file(folder)))
                .singleElement()
                .satisfies(line -> assertThat(faults(line)).isEmpty());
    }

    @Test
    void acceptsTheExampleOfTheSpecification() throws IOException {
        List<String> lines = Files.readAllLines(Path.of("docs", "journal.md")).stream()
                .filter(line -> line.startsWith("{\"seq\":"))
                .toList();
        assertThat(lines)
                .hasSizeGreaterThan(15)
                .allSatisfy(line -> assertThat(faults(line)).isEmpty());
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "{}",
                "{\"seq\":1,\"at\":\"2026-03-02T10:00:00.000000000+01:00\",\"mono\":1,\"tc\":\"10:00:00:00\",\"kind\":\"take-open\",\"frame\":1,\"crc\":\"00000000\"}",
                "{\"seq\":1,\"at\":\"10:00\",\"mono\":1,\"tc\":\"10:00:00:00\",\"kind\":\"stop\",\"why\":\"w\",\"crc\":\"00000000\"}",
                "{\"seq\":1,\"at\":\"2026-03-02T10:00:00.000000000+01:00\",\"mono\":1,\"tc\":\"10:00:00:00\",\"kind\":\"nap\",\"crc\":\"00000000\"}"
            })
    void refusesWhatIsNoRecord(String line) {
        assertThat(faults(line)).isNotEmpty();
    }
}
