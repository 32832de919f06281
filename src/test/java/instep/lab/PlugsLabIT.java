package instep.lab;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.rehearsal.Collected;
import instep.rehearsal.Decision;
import instep.rehearsal.RecordedRun;
import instep.rehearsal.Replay;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.IntStream;
import java.util.stream.LongStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Pedals that are alike, that chatter, that flood and that come and go: {@code src/test/lab/jobs/plugs/pedals}. */
@Tag("lab")
final class PlugsLabIT {
    private static final int REPLUGS = 200;
    /** Of the machine's own clock, which counts instructions. */
    private static final long SOON_NANOS = 200_000_000;

    @TempDir
    private Path replayed;

    private static LabJob job;
    private static List<Sunk> sunk = List.of();
    private static List<JournalLine> journal = List.of();
    private static List<Played> played = List.of();

    @BeforeAll
    static void play() throws Exception {
        job = LabJob.run("plugs");
        sunk = job.lines("sink").stream().map(Sunk::parse).toList();
        journal = job.journal();
        played = job.played();
    }

    @Test
    void twoPedalsOfAKindAreToldApart() {
        assertThat(told("twins")).as(job::story).containsExactly("SOLE down", "SOLE up", "TOE down", "TOE up");
    }

    @Test
    void theyKeepTheirPlacesWhenTheyComeBackInAnotherOrder() {
        assertThat(told("twins that come back in the other order"))
                .as(job::story)
                .containsExactly("SOLE down", "SOLE up", "TOE down", "TOE up");
    }

    @Test
    void burstsOfAWornContactAreOnePress() {
        assertThat(edges("worn")).as(job::story).hasSize(18);
        assertThat(told("worn")).as(job::story).containsExactly("WORN down", "WORN up");
    }

    // Documentation/input/event-codes.rst, SYN_DROPPED: 600 reports come while nobody reads, of which a reader's queue
    // in
    // drivers/input/evdev.c holds the last few; the sole comes up and the heel goes down among those that are dropped
    @Test
    void whatChangedWhileEventsWereDroppedIsMadeGood() {
        assertThat(played.stream()
                        .filter(line ->
                                isIn("flood", line.before()) && line.what().equals("report")))
                .hasSize(604);
        assertThat(edges("flood"))
                .as(job::story)
                .containsSubsequence("near.sole closed", "near.sole open")
                .endsWith("near.heel closed", "near.heel open")
                .hasSizeLessThan(300);
        assertThat(told("flood"))
                .as(job::story)
                .containsSubsequence("SOLE down", "SOLE up")
                .endsWith("HEEL down", "HEEL up");
    }

    @Test
    void everyPullOfThePlugLetsTheSoleGo() {
        assertThat(edges("replug"))
                .as(job::story)
                .containsExactlyElementsOf(alternating("near.sole closed", "near.sole open"));
        assertThat(told("replug")).as(job::story).containsExactlyElementsOf(alternating("SOLE down", "SOLE up"));
    }

    @Test
    void everyPlugIsTakenUpSoon() {
        long[] plugs = played.stream()
                .filter(line -> line.what().equals("plug") && line.device().equals("near"))
                .mapToLong(Played::before)
                .toArray();
        long[] ups = journal.stream()
                .filter(line -> line.is("device")
                        && line.text("pedal").equals("near")
                        && line.text("state").equals("up"))
                .mapToLong(line -> line.number("mono"))
                .toArray();
        assertThat(ups).as(job::story).hasSameSizeAs(plugs).hasSize(REPLUGS + 2);
        long[] late = IntStream.range(0, ups.length)
                .mapToLong(at -> ups[at] - plugs[at])
                .toArray();
        System.out.println("from plugging in to reading, at most: "
                + LongStream.of(late).max().orElseThrow() / 1_000 + " us of the guest's time");
        assertThat(LongStream.of(late)).as(job::story).allMatch(nanos -> nanos > 0 && nanos < SOON_NANOS);
    }

    @Test
    void noDescriptorIsLeftOpenByAnyOfThem() {
        List<String> counts = job.lines("descriptors");
        assertThat(counts).as(job::story).hasSize(2);
        assertThat(counts.get(1)).as(job::story).isEqualTo(counts.get(0));
    }

    @Test
    void aPressIsServedAmongEightThousandReportsASecond() {
        for (String torrent : List.of("torrent of nothing", "torrent of red")) {
            long lastReport = played.stream()
                    .filter(line ->
                            isIn(torrent, line.before()) && line.device().equals("box"))
                    .mapToLong(Played::before)
                    .max()
                    .orElseThrow();
            assertThat(told(torrent)).as(job::story).containsExactly("TOE down", "TOE up");
            assertThat(sunk.stream()
                            .filter(line -> line.isTo("mixer", "bytes") && isIn(torrent, line.nanos()))
                            .mapToLong(Sunk::nanos)
                            .min()
                            .orElseThrow())
                    .as(job::story)
                    .isLessThan(lastReport);
        }
        assertThat(edges("torrent of nothing")).containsExactly("far.toe closed", "far.toe open");
    }

    /** Of 4,000 edges in half a second the first 500 count. */
    @Test
    void aContactThatFloodsIsLeftOutAndThatIsSaidOnce() {
        assertThat(edges("torrent of red").stream().filter(edge -> edge.startsWith("box.red ")))
                .as(job::story)
                .hasSize(500)
                .endsWith("box.red open");
        assertThat(journal.stream().filter(line -> line.is("fault")).map(line -> line.text("text")))
                .as(job::story)
                .singleElement()
                .asString()
                .startsWith("box.red chatters: more than 500 edges in a second");
    }

    @Test
    void aReplayDecidesWhatWasDecidedInTheFlood() throws Exception {
        RecordedRun run = RecordedRun.read(job.folder().resolve("journal"), 0).orElseThrow();
        Settings settings = ConfigReader.parse("pottery.yaml", run.config().orElseThrow());
        assertThat(Replay.write(run, settings, replayed, "the same again")).isEmpty();
        List<Decision> recorded = Collected.decisions(run);
        assertThat(recorded).hasSizeGreaterThan(500);
        assertThat(Collected.decisions(replayed)).isEqualTo(recorded);
    }

    @Test
    void nothingGoesWrong() {
        assertThat(job.lines("errors")).as(job::story).isEmpty();
        assertThat(job.lines("program-status")).as(job::story).containsExactly("0");
        assertThat(journal.stream().filter(line -> line.is("missed")))
                .as(job::story)
                .isEmpty();
    }

    /** Whether it happened between that scene's beginning and the next one's. */
    private static boolean isIn(String scene, long nanos) {
        List<Played> scenes =
                played.stream().filter(line -> line.what().equals("say")).toList();
        int at = scenes.stream().map(Played::rest).toList().indexOf(scene);
        return scenes.get(at).before() <= nanos
                && (at + 1 == scenes.size() || nanos < scenes.get(at + 1).before());
    }

    private static List<String> told(String scene) {
        List<Sunk> lines =
                sunk.stream().filter(line -> isIn(scene, line.nanos())).toList();
        return new String(Sunk.bytesTo("mixer", lines), ISO_8859_1).lines().toList();
    }

    private static List<String> edges(String scene) {
        return journal.stream()
                .filter(line -> line.is("edge") && isIn(scene, line.number("mono")))
                .map(line -> line.text("contact") + (line.flag("closed") ? " closed" : " open"))
                .toList();
    }

    private static List<String> alternating(String one, String other) {
        return Stream.generate(() -> List.of(one, other))
                .limit(REPLUGS)
                .flatMap(List::stream)
                .toList();
    }
}
