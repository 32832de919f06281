package instep.report;

import static org.assertj.core.api.Assertions.assertThat;

import instep.cutlist.Refinements;
import instep.cutlist.Shot;
import instep.cutlist.Take;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;

class TextReportTest {
    @Test
    void drawsALaneForEachAngleToScale() {
        assertThat(TextReport.of(Stories.plain(), 54).lines().toList())
                .startsWith(
                        "Take 1 of 2026-03-02: 00:16.000 recorded, 00:16.000 in",
                        "    the cut list, 4 shots",
                        "              10:00:00:00                  10:00:16:00",
                        "  wide        ##########          ##########",
                        "  wheel                 ##########",
                        "  hands                                     ##########")
                .contains("wide: 2 shots, 00:08.000 (50.0 %), median 00:04.000");
    }

    @Test
    void drawsWhatTheRefinementsLeftOut() {
        String drawn = TextReport.of(Stories.refined(), 54);
        assertThat(drawn.lines().toList())
                .containsSubsequence(
                        "              10:00:00:00                  10:00:16:00",
                        "on air",
                        "  wide        ##########          ##########",
                        "  wheel                 ##########",
                        "  hands                                     ##########",
                        "cut list",
                        "  wide        ##########          xxxxx#####",
                        "  wheel                 ##########xxxxx",
                        "  hands                           xxxxx     ##########",
                        "  marks                                R");
    }

    @Test
    void showsAShotThatIsShorterThanAColumn() {
        Take take = new Take(
                1,
                0,
                4_000,
                true,
                List.of(
                        new Shot(1, "wide", 0, 2_000),
                        new Shot(1, "wheel", 2_000, 2_003),
                        new Shot(1, "wide", 2_003, 4_000)),
                List.of());
        String drawn = TextReport.of(Stories.of(take, Refinements.NONE, Stories.QUIET, List.of()), 54);
        assertThat(drawn.lines().toList())
                .contains(
                        "  wide        ########################################",
                        "  wheel                           -");
    }

    @Test
    void namesFaultsWithTheirTimecode() {
        Trail trail = new Trail(
                "",
                List.of(),
                Stories.SYNC,
                List.of(new Trouble(900_100, "missed", "mixer", "CUT 2: the link\u001b[31m was down")),
                7);
        String drawn = TextReport.of(Stories.of(Stories.lesson(), Refinements.NONE, trail, List.of()), 80);
        assertThat(drawn)
                .contains("!! 10:00:04:00 missed mixer: CUT 2: the link\uFFFD[31m was down", "!! and 7 more")
                .doesNotContain("\u001b");
    }

    @Property(tries = 300)
    void noLineIsWiderThanTheTerminal(@ForAll @IntRange(min = 40, max = 300) int width, @ForAll String words) {
        Trail trail = new Trail(
                "",
                List.of(new LinkFigures(words, false, new Spread(), new Spread(), new Spread(), 3, 2, 1)),
                Stories.SYNC,
                List.of(new Trouble(900_100, "fault", words, words + " " + words)),
                0);
        String drawn = TextReport.of(Stories.of(Stories.lesson(), Refinements.NONE, trail, List.of()), width);
        assertThat(drawn.lines()).allMatch(line -> line.length() <= width);
    }
}
