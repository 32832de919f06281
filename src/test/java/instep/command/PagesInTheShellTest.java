package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import instep.Page;
import instep.daemon.WrittenJournal;
import instep.media.Filmed;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.TimeUnit;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * What the pages tell a reader to type, run by a shell in a folder that has what a reader has there: a mapping, journals, recordings. The block of "The whole way" is run by
 * {@link WholeWayTest}, and what changes a machine, as a root, by the lab's box.
 */
@Tag("lab")
class PagesInTheShellTest {
    private static final Pattern SPAN = Pattern.compile("`(instep [^`]+)`");
    private static final Pattern TYPED = Pattern.compile("(instep|ffmpeg) .*");
    private static final Pattern PLACEHOLDER = Pattern.compile("\\b[A-Z]{3,}\\b|…|\\[");

    /** What the block has that is run as a whole. */
    private static final String WHOLE_WAY = "mkdir -p cards";

    /** A command that is only spoken of. */
    private static final Pattern NAME = Pattern.compile("instep (journal )?[a-z]+");

    /** What does not end by itself, or needs what a test has not; each of them has tests of its own. */
    private static final Map<String, String> ELSEWHERE = Map.ofEntries(
            Map.entry("instep run mapping.yaml studio.yaml", "a service"),
            Map.entry("instep run pottery.yaml", "a service"),
            Map.entry("instep tail /var/lib/instep", "follows for ever"),
            Map.entry("instep identify --save lesson.yaml", "needs a foot"),
            Map.entry("instep rehearse lesson.yaml", "needs a foot"),
            Map.entry("instep rehearse pottery.yaml", "needs a foot"),
            Map.entry("instep rehearse config-examples/pottery.yaml --keys", "needs a terminal"),
            Map.entry("instep rehearse pottery.yaml --keys", "needs a terminal"),
            Map.entry("instep try /etc/instep/instep.yaml mixer wheel", "needs gear"),
            Map.entry("instep try pottery.yaml mixer wheel", "needs gear"),
            Map.entry("instep gear pottery.yaml", "needs gear"),
            Map.entry("instep gear studio.yaml", "needs gear"),
            Map.entry("instep try studio.yaml mixer first", "needs gear"));

    @TempDir
    private static Path desk = Path.of("");

    @TempDir
    private Path folder = Path.of("");

    static Set<String> typed() throws IOException {
        Set<String> typed = new TreeSet<>();
        for (Page page : Page.ofUsers()) {
            Stream<String> blocks = page.blocks().stream()
                    .filter(block -> !block.contains(WHOLE_WAY))
                    .flatMap(String::lines);
            Stream<String> spans = SPAN.matcher(page.text()).results().map(span -> span.group(1));
            Stream.concat(blocks, spans)
                    .map(line -> line.replaceFirst("\\s+#.*|\\s{2,}.*", "").replace("FILE", "pottery.yaml"))
                    .filter(line -> TYPED.matcher(line).matches())
                    .filter(line -> !NAME.matcher(line).matches())
                    .filter(line -> !PLACEHOLDER.matcher(line).find())
                    .forEach(typed::add);
        }
        return typed;
    }

    static List<String> run() throws IOException {
        return typed().stream().filter(line -> !ELSEWHERE.containsKey(line)).toList();
    }

    @BeforeAll
    static void comeHome() throws Exception {
        for (String example : List.of("pottery.yaml", "pottery.scenario", "pottery.performance")) {
            Files.copy(Path.of("config-examples", example), desk.resolve(example));
        }
        for (String mine : List.of("my-mapping.yaml", "mapping.yaml")) {
            Files.copy(desk.resolve("pottery.yaml"), desk.resolve(mine));
        }
        Files.writeString(desk.resolve("studio.yaml"), "instep: 1\ngear: { mixer: { tcp: 127.0.0.1:9711 } }\n");
        Files.copy(desk.resolve("pottery.performance"), desk.resolve("lesson.performance"));
        new WrittenJournal("2026-03-02")
                .start(Files.readString(desk.resolve("pottery.yaml")))
                .open(100, 3)
                .cut(100, "wide")
                .cut(200, "wheel")
                .cut(320, "hands")
                .close(440, 3)
                .stop(500)
                .into(Files.createDirectory(desk.resolve("takes")));
        Path own = Files.createDirectories(desk.resolve("state/instep"));
        Said.by("demo", "--speed", "100", "--journal", own.toString());
        Path cards = Files.createDirectory(desk.resolve("cards"));
        Path phone = Files.createDirectory(desk.resolve("phone"));
        String room =
                "aevalsrc=exprs='0.5*(random(0)-0.5)*pow(sin(2*PI*0.37*t)*sin(2*PI*1.13*t+1)*sin(2*PI*2.71*t+2),2)'";
        for (Path film : List.of(
                cards.resolve("WIDE_0001.mov"),
                phone.resolve("wheel.mp4"),
                phone.resolve("hands.mp4"),
                desk.resolve("wide.mov"),
                desk.resolve("wheel.mov"),
                desk.resolve("hands.mov"),
                desk.resolve("wide.mp4"),
                desk.resolve("wheel.mp4"),
                desk.resolve("phone.mp4"))) {
            List<String> words = new ArrayList<>(List.of("-f", "lavfi", "-i", "testsrc=s=64x48:r=25:d=30"));
            words.addAll(List.of("-f", "lavfi", "-i", room + ":s=48000:d=30", "-c:v", "mpeg4", "-c:a", "aac"));
            words.addAll(List.of("-metadata", "creation_time=2026-03-02T10:00:02Z"));
            if (film.startsWith(cards)) {
                words.addAll(List.of("-timecode", "10:00:02:00"));
            }
            words.add(film.toString());
            Filmed.ffmpeg(desk, words.toArray(String[]::new));
        }
        Said matched = Said.by(
                "match",
                desk.resolve("takes").toString(),
                cards.toString(),
                "--write",
                desk.resolve("media.yaml").toString());
        assertThat(desk.resolve("media.yaml")).as(matched.out() + matched.err()).exists();
    }

    private void bring() throws IOException {
        try (Stream<Path> all = Files.walk(desk)) {
            for (Path each : all.skip(1).toList()) {
                Files.copy(each, folder.resolve(desk.relativize(each)));
            }
        }
    }

    @ParameterizedTest
    @MethodSource("run")
    void doesWhatAPageTellsToType(String line) throws Exception {
        bring();
        // A list that is there is not written over.
        if (line.contains("--write media.yaml")) {
            Files.delete(folder.resolve("media.yaml"));
        }
        String here = line.replace("/var/lib/instep", "state/instep")
                .replace("/etc/instep/instep.yaml", "pottery.yaml")
                .replace("config-examples/", "");
        ProcessBuilder shell = InstepInAShell.in(folder, "sh", "-euc", here);
        shell.environment().put("XDG_STATE_HOME", folder.resolve("state").toString());
        Process process = shell.start();
        assertThat(process.waitFor(2, TimeUnit.MINUTES)).as("it ended").isTrue();
        String said = Files.readString(folder.resolve("said.txt"));
        assertThat(process.exitValue()).as(said).isZero();
        assertThat(said).doesNotContain("\tat ");
    }

    @Test
    void leavesOutOnlyWhatThePagesSay() throws IOException {
        assertThat(typed())
                .containsAll(ELSEWHERE.keySet())
                .anyMatch(line -> line.startsWith("ffmpeg "))
                .anyMatch(line -> line.startsWith("instep sync "))
                .hasSizeGreaterThan(2 * ELSEWHERE.size());
    }
}
