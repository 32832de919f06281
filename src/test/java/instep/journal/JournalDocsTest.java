package instep.journal;

import static org.assertj.core.api.Assertions.assertThat;

import instep.machine.Whereabouts;
import instep.time.FrameRate;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;

/** Holds docs/journal.md, which is the format's specification, against the code. */
class JournalDocsTest {
    private static final Path DOCS = Path.of("docs", "journal.md");
    private static final Pattern CODE = Pattern.compile("`([^`]+)`");

    @TempDir
    private Path folder;

    static List<Happening> happenings() {
        return List.of(
                RunStart.of("v", "f", 1, "25"),
                Happening.config("f", "h", "t"),
                Happening.reloaded("f", "h", "t", "gear 1 kept"),
                Happening.edge("c", true, true),
                Happening.position("c", "1"),
                Happening.gesture("e", 1, 1),
                Happening.transition(new Happening.Step("a", "b", true), "e", 1, 1),
                Happening.cut("a", "b", 1, 1),
                Happening.cutBy("a", "b", 1, "g"),
                Happening.confirmed("g", "a", 1, 1, true),
                Happening.takeOpen(1),
                Happening.takeResumed(1, 1),
                Happening.takeClose(1),
                Happening.mark("m", "t", 1),
                Happening.sent("g", "w", 1, 1),
                Happening.reply("g", "t", 1),
                Happening.heeded("g", "t", 1, 1, "10:00:00:00"),
                Happening.missed("g", "w", "y", 1),
                Happening.link("g", "up", "y"),
                Happening.device("p", "up", "d"),
                SyncRecord.of("s", "w", new SyncQuality("synchronized", 1, 1, 1L)),
                SyncRecord.chased("s", "locked", 1, SyncQuality.UNKNOWN),
                Happening.removed("f"),
                Happening.note("t"),
                Happening.configNote("f", "t"),
                StandingRecord.of(new Whereabouts(
                        List.of("a", "b"),
                        List.of(new Whereabouts.Act("w", "a", null)),
                        List.of("p.l"),
                        1,
                        1,
                        0,
                        Map.of("n", "1"))),
                Happening.fault("t"),
                GearFault.refused("g", "t", 1),
                GearFault.unconfirmed("g", "t", 1, "a"),
                Happening.configFault("f", "t"),
                GearFault.notRolling("g", "t", true),
                Gaps.lost(1),
                Happening.stop("y"));
    }

    @ParameterizedTest
    @MethodSource("happenings")
    void namesTheFieldsOfEachKind(Happening what) throws IOException {
        String row = row(what.kind());
        assertThat(row.contains("*framed*")).isEqualTo(what.kind().isFramed());
        List<String> written = new ArrayList<>();
        for (int i = 0; i < what.size(); i++) {
            written.add(what.key(i));
        }
        Set<String> named = codes(row.split("\\|")[2]);
        if (what.kind() == Kind.FAULT) {
            assertThat(named).containsAll(written);
        } else {
            assertThat(written).containsExactlyElementsOf(named);
        }
    }

    /** What {@code journal verify} asks for is what the text promises. */
    @ParameterizedTest
    @EnumSource(Kind.class)
    void theShapeOfEachKindIsTheTextOfIt(Kind kind) throws IOException {
        assertThat(RecordShape.of(kind).stream().map(RecordShape.Field::name))
                .containsExactlyElementsOf(codes(row(kind).split("\\|")[2]));
    }

    @ParameterizedTest
    @MethodSource("happenings")
    void whatIsWrittenHasTheShapeOfItsKind(Happening what) throws IOException {
        try (Journal journal = TestJournal.open(folder)) {
            journal.append(0, 0, what);
        }
        Entry entry = TestJournal.read(TestJournal.file(folder)).get(0);
        assertThat(RecordShape.faults(entry)).isEmpty();
    }

    @Test
    void theExampleIsAWholeJournalOfEveryKind() throws IOException {
        Path file = Files.writeString(folder.resolve("example.jsonl"), block("jsonl"));
        List<Entry> entries = TestJournal.read(file);
        EnumSet<Kind> kinds = EnumSet.noneOf(Kind.class);
        entries.forEach(entry -> kinds.add(entry.kind()));
        assertThat(kinds).containsExactly(Kind.values());
        assertThat(entries).allSatisfy(entry -> assertThat(entry.time()).isNotNull());
    }

    /** The recipe of the text, with a checksum that is not the code's. */
    @Test
    void theChecksumIsComputedAsTheTextSays() throws IOException {
        for (String line : block("jsonl").split("\n")) {
            byte[] bytes = line.getBytes(StandardCharsets.UTF_8);
            String crc = Crc32cBitByBit.hex(Arrays.copyOf(bytes, bytes.length - 18));
            assertThat(line).endsWith(",\"crc\":\"" + crc + "\"}");
        }
    }

    /** The example's event log is what its journal gives. */
    @Test
    void theEventLogShowsTheExample() throws IOException {
        Path file = Files.writeString(folder.resolve("example.jsonl"), block("jsonl"));
        List<String> lines = new ArrayList<>();
        EventLines log = new EventLines(FrameRate.R25, lines::add);
        TestJournal.read(file).forEach(log::show);
        assertThat(block("").lines()).hasSizeGreaterThan(10).containsExactlyElementsOf(lines);
        assertThat(lines)
                .allSatisfy(line -> assertThat(row(line.substring(EventColumns.WORD_AT, EventColumns.TEXT_AT)
                                .strip()))
                        .isNotEmpty());
    }

    private static String row(Kind kind) throws IOException {
        return row("| `" + kind.word() + "` |");
    }

    private static String row(String with) throws IOException {
        return Files.readAllLines(DOCS).stream()
                .filter(line -> line.startsWith("|") && line.contains(with))
                .findFirst()
                .orElseThrow(() -> new AssertionError("no row in docs/journal.md with " + with));
    }

    private static Set<String> codes(String text) {
        Set<String> codes = new LinkedHashSet<>();
        Matcher matcher = CODE.matcher(text);
        while (matcher.find()) {
            codes.add(matcher.group(1));
        }
        return codes;
    }

    /** The first block of that language. */
    private static String block(String language) throws IOException {
        String docs = Files.readString(DOCS);
        String fence = "\n```" + language + "\n";
        int start = docs.indexOf(fence) + fence.length();
        if (language.isEmpty()) {
            start = docs.indexOf(fence, docs.indexOf("## The event log")) + fence.length();
        }
        return docs.substring(start, docs.indexOf("```", start));
    }
}
