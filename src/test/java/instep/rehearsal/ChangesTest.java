package instep.rehearsal;

import static org.assertj.core.api.Assertions.assertThat;

import instep.journal.Happening;
import instep.journal.Journal;
import instep.journal.RunStart;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class ChangesTest {
    private static final List<String> ANGLES = List.of("wide", "wheel", "hands");

    /** After so many microseconds a cut to that angle, with that frame as its label: labels may come again, as on the next day. */
    record Cut(int after, int angle, int frame) {
        String line() {
            return "10:00:00:0" + frame + " cut " + ANGLES.get(angle);
        }
    }

    @TempDir
    private Path folder = Path.of("");

    @Provide
    static Arbitrary<List<Cut>> cuts() {
        return Arbitraries.integers()
                .between(0, 3)
                .flatMap(after -> Arbitraries.integers()
                        .between(0, 2)
                        .flatMap(angle ->
                                Arbitraries.integers().between(0, 1).map(frame -> new Cut(after, angle, frame))))
                .list()
                .ofMaxSize(12);
    }

    private static RecordedRun run(Path folder, List<Cut> cuts) throws Exception {
        try (Journal journal = LongRun.journal(folder, 0, nanos -> nanos)) {
            journal.append(0, 0, RunStart.of("test", "a.yaml", 1, "25"));
            long mono = 0;
            for (Cut cut : cuts) {
                mono += 1_000L * cut.after();
                journal.append(mono, 25 * 36_000 + cut.frame(), Happening.cut(ANGLES.get(cut.angle()), null, -1, -1));
            }
        }
        return RecordedRun.read(folder, 0).orElseThrow();
    }

    /** The first list, without as many of each line as the second has. */
    private static List<String> without(List<Cut> all, List<Cut> others, String sign) {
        Map<String, Integer> counts = new HashMap<>();
        others.forEach(cut -> counts.merge(cut.line(), 1, Integer::sum));
        return all.stream()
                .map(Cut::line)
                .filter(line -> counts.merge(line, -1, Integer::sum) < 0)
                .map(line -> sign + line)
                .toList();
    }

    @Property(tries = 200)
    void areWhatTheOneHasMoreOftenThanTheOther(@ForAll("cuts") List<Cut> before, @ForAll("cuts") List<Cut> after)
            throws Exception {
        Path place = Files.createTempDirectory("instep-changes-");
        try {
            Changes changes = Changes.between(run(place.resolve("a"), before), run(place.resolve("b"), after));
            List<String> expected = new ArrayList<>(without(before, after, "  - "));
            expected.addAll(without(after, before, "  + "));
            assertThat(changes.lines(Integer.MAX_VALUE)).isEqualTo(expected);
            assertThat(changes.count()).isEqualTo(expected.size());
        } finally {
            ReplayProperties.delete(place);
        }
    }

    @Test
    void areShownAsFarAsIsAskedForAndCountedAll() throws Exception {
        List<Cut> many = new ArrayList<>();
        for (int cut = 0; cut < 100; cut++) {
            many.add(new Cut(1, cut % 3, 0));
        }
        Changes changes = Changes.between(run(folder.resolve("a"), many), run(folder.resolve("b"), List.of()));
        assertThat(changes.count()).isEqualTo(100);
        assertThat(changes.lines(2)).containsExactly("  - 10:00:00:00 cut wide", "  - 10:00:00:00 cut wheel");
    }
}
