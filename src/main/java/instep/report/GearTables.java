package instep.report;

import instep.cutlist.Outage;
import instep.cutlist.Take;
import instep.time.Durations;
import java.io.IOException;
import java.util.List;
import java.util.OptionalLong;

/** What happened beside the cuts: faults, the links to gear, timecode. */
final class GearTables {
    private final Markup out;
    private final Tables tables;
    private final TakeStory story;

    GearTables(Markup out, Tables tables, TakeStory story) {
        this.out = out;
        this.tables = tables;
        this.story = story;
    }

    void write() throws IOException {
        troubles();
        links();
        sync();
    }

    private void troubles() throws IOException {
        List<Trouble> troubles = story.trail().troubles();
        if (troubles.isEmpty()) {
            out.element("h3", "Faults").element("p", "None.").line();
            return;
        }
        tables.begin("Faults", "", "what", "at", "gear", "in words");
        for (Trouble trouble : troubles) {
            tables.row(trouble.word(), story.label(trouble.frame()).toString(), trouble.gear(), trouble.text());
        }
        if (story.trail().more() > 0) {
            tables.remark("and " + story.trail().more() + " more, which the journal has");
        }
        tables.end();
    }

    private void links() throws IOException {
        if (story.trail().links().isEmpty()) {
            return;
        }
        tables.begin(
                "Links to gear",
                "half took no longer than the first time, 95 of 100 no longer than the second, none longer than the third",
                "gear",
                "#messages",
                "#from decision to socket",
                "#from there to its answer",
                "#from cut to its word",
                "what went wrong");
        for (LinkFigures link : story.trail().links()) {
            tables.row(
                    link.gear(),
                    String.valueOf(link.sent().count()),
                    spread(link.sent()),
                    spread(link.answered()),
                    spread(link.confirmed()),
                    LinkWords.wrong(link));
        }
        tables.end();
    }

    private static String spread(Spread spread) {
        return spread.count() == 0 ? "-" : LinkWords.spread(spread);
    }

    private void sync() throws IOException {
        SyncFigures sync = story.trail().sync();
        out.element("h3", "Timecode")
                .element("p", SyncWords.of(sync, story.take(), story.rate()))
                .line();
        if (sync.steps().isEmpty()) {
            return;
        }
        tables.begin("Changes of timecode within the take", "", "at", "source", "state");
        for (SyncStep step : sync.steps()) {
            tables.row(story.label(step.frame()).toString(), step.source(), step.state());
        }
        if (sync.more() > 0) {
            tables.remark("and " + sync.more() + " more, which the journal has");
        }
        tables.end();
    }

    /** Sentences about links. */
    static final class LinkWords {
        private LinkWords() {}

        static String spread(Spread spread) {
            return Tables.millis(spread.percentile(50)) + " / " + Tables.millis(spread.percentile(95)) + " / "
                    + Tables.millis(spread.greatest());
        }

        static String wrong(LinkFigures link) {
            String all = (link.up() ? "" : ", down when the take began")
                    + many(link.losses(), "loss", "losses")
                    + many(link.missed(), "message missed", "messages missed")
                    + many(link.refused(), "message refused or without answer", "messages refused or without answer");
            return all.isEmpty() ? "nothing" : all.substring(2);
        }

        private static String many(long number, String one, String several) {
            return number == 0 ? "" : ", " + number + " " + (number == 1 ? one : several);
        }
    }

    /** Sentences about timecode. */
    static final class SyncWords {
        private SyncWords() {}

        static String of(SyncFigures sync, Take take, instep.time.FrameRate rate) {
            StringBuilder words =
                    new StringBuilder("From ").append(sync.source().isEmpty() ? "an unknown source" : sync.source());
            words.append(sync.state().isEmpty() ? "." : ", which was " + sync.state() + " when the take began.");
            if (sync.broken() > 0) {
                words.append(" For ")
                        .append(Durations.ofFrames(sync.broken(), rate))
                        .append(" it went on by itself.");
            }
            if (sync.follows() > 0) {
                words.append(" Frames were set a little ")
                        .append(sync.follows())
                        .append(sync.follows() == 1 ? " time" : " times")
                        .append(" to follow it.");
            }
            sync.uncertainty()
                    .ifPresent(micros -> words.append(" A frame began at most ")
                            .append(Tables.millis(OptionalLong.of(micros)))
                            .append(" earlier or later than it says."));
            sync.drift()
                    .ifPresent(ppm -> words.append(" It ran ")
                            .append(Math.abs(ppm))
                            .append(ppm < 0 ? " millionths slower" : " millionths quicker")
                            .append(" than this machine's clock."));
            words.append(sync.unkept() ? " Nothing kept this machine's clock right." : "");
            long away = take.outages().stream().mapToLong(Outage::frames).sum();
            if (!take.outages().isEmpty()) {
                words.append(" For ")
                        .append(Durations.ofFrames(away, rate))
                        .append(" of the take Instep was not there.");
            } else if (sync.steps().isEmpty() && sync.follows() == 0) {
                words.append(" Within the take it ran without a break.");
            }
            return words.toString();
        }
    }
}
