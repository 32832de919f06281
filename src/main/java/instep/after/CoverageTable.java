package instep.after;

import instep.cutlist.Coverage;
import instep.cutlist.Footage;
import instep.cutlist.Matching;
import instep.cutlist.Media;
import instep.cutlist.Slate;
import instep.cutlist.Timeline;
import instep.time.Durations;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;

/** What a take's files cover, as a table for people: an angle a line, and below it what is missing. */
public final class CoverageTable {
    private final StringBuilder out = new StringBuilder();
    private final Timeline programme;
    private final Media needed;

    private CoverageTable(Timeline programme, Media needed) {
        this.programme = programme;
        this.needed = needed;
    }

    /**
     * The table.
     *
     * @param needed the sort that the programme is to be made of
     */
    public static String of(Timeline programme, Matching.Matched matched, Media needed) {
        CoverageTable table = new CoverageTable(programme, needed);
        table.head(matched.slate());
        for (Footage footage : matched.footage()) {
            table.row(Coverage.of(programme, footage, Media.PROXY), Coverage.of(programme, footage, Media.ORIGINAL));
        }
        table.lost(matched);
        return table.out.append(System.lineSeparator()).toString();
    }

    /** Whether files of that sort show all of a programme. */
    public static boolean isEnough(Timeline programme, Matching.Matched matched, Media needed) {
        return matched.footage().stream()
                        .allMatch(footage ->
                                Coverage.of(programme, footage, needed).isEnough())
                && unknown(programme, matched).isEmpty();
    }

    private void head(Slate slate) {
        line(
                "Take %d of %s: %s to %s, %s",
                slate.take().number(),
                slate.day(),
                slate.from(),
                slate.to(),
                time(slate.take().frames()));
        line("  %-12s %-20s %-20s %s", "angle", "proxy", "original", "in the cut list");
    }

    private void row(Coverage proxy, Coverage original) {
        Coverage meant = needed == Media.PROXY ? proxy : original;
        line("  %-12s %-20s %-20s %s", proxy.angle(), share(proxy), share(original), verdict(meant));
        for (Coverage coverage : List.of(proxy, original)) {
            if (coverage.files() > 0) {
                coverage.gaps().forEach(gap -> gap(coverage, gap));
            }
        }
    }

    private static String share(Coverage coverage) {
        if (coverage.files() == 0) {
            return "-";
        }
        return String.format(
                Locale.ROOT,
                "%d.%d %%, %d file%s",
                coverage.permille() / 10,
                coverage.permille() % 10,
                coverage.files(),
                coverage.files() == 1 ? "" : "s");
    }

    private String verdict(Coverage coverage) {
        boolean used = Stream.concat(programme.clips().stream(), programme.sound().stream())
                .anyMatch(clip -> clip.source().angle().equals(coverage.angle()));
        long missing = coverage.gaps().stream().mapToLong(Coverage.Gap::used).sum();
        return !used
                ? "not in it"
                : missing == 0 ? "all there" : "MISSING " + time(missing) + " of " + needed.several();
    }

    private void gap(Coverage coverage, Coverage.Gap gap) {
        line(
                "  %-12s no %s from %s to %s, %s%s",
                "",
                coverage.media().word(),
                programme.source(gap.in()),
                programme.after(gap.out() - 1),
                time(gap.frames()),
                gap.used() > 0 ? ", and the cut list needs " + time(gap.used()) + " of it" : "");
    }

    private void lost(Matching.Matched matched) {
        for (String angle : unknown(programme, matched)) {
            line(
                    "  %-12s %-20s %-20s %s",
                    angle.isEmpty() ? "?" : angle, "-", "-", "MISSING: it is not known what it was");
        }
    }

    /** Angles of the programme of which nothing is known. */
    private static List<String> unknown(Timeline programme, Matching.Matched matched) {
        List<String> unknown = new ArrayList<>();
        programme.clips().stream()
                .map(clip -> clip.source().angle())
                .distinct()
                .filter(angle ->
                        matched.footage().stream().noneMatch(one -> one.angle().equals(angle)))
                .forEach(unknown::add);
        return unknown;
    }

    private String time(long frames) {
        return Durations.ofFrames(frames, programme.rate());
    }

    private void line(String format, Object... values) {
        out.append(String.format(Locale.ROOT, format, values).stripTrailing()).append(System.lineSeparator());
    }
}
