package instep.report;

import instep.cutlist.Layout;
import instep.cutlist.Mark;
import instep.cutlist.Media;
import instep.cutlist.Refined;
import instep.cutlist.Refinements;
import instep.cutlist.Retake;
import instep.cutlist.Shot;
import instep.cutlist.Sound;
import instep.cutlist.Source;
import instep.cutlist.Take;
import instep.cutlist.Timeline;
import instep.time.FrameRate;
import java.util.List;
import java.util.OptionalLong;

/** Takes to tell of. */
final class Stories {
    static final SyncFigures SYNC =
            new SyncFigures("time-of-day", "", true, List.of(), 0, 0, 0, OptionalLong.empty(), OptionalLong.empty());
    static final Trail QUIET = new Trail("", List.of(), SYNC, List.of(), 0);

    private Stories() {}

    /** 16 s from 10:00:00:00 at 25: wide, 4 s; wheel, 4 s; wide, 4 s; hands, 4 s; a retake at 10 s. */
    static Take lesson() {
        long in = 900_000;
        return new Take(
                1,
                in,
                in + 400,
                true,
                List.of(
                        new Shot(1, "wide", in, in + 100),
                        new Shot(1, "wheel", in + 100, in + 200),
                        new Shot(1, "wide", in + 200, in + 300),
                        new Shot(1, "hands", in + 300, in + 400)),
                List.of(new Mark("retake", "<again>", in + 250)));
    }

    static TakeStory of(Take take, Refinements by, Trail trail, List<Cover> cover) {
        Refined refined = Refined.of(take, by);
        Layout layout = new Layout(FrameRate.R25, 90_000, 0, Media.ORIGINAL, Sound.NONE);
        Timeline timeline = Timeline.of("a take", refined, layout, Source::unknown);
        return new TakeStory(
                "2026-03-02",
                "lesson.yaml",
                List.of("wide", "wheel", "hands", "glaze"),
                refined,
                timeline,
                trail,
                cover);
    }

    static TakeStory plain() {
        return of(lesson(), Refinements.NONE, QUIET, List.of());
    }

    /** The retake is dropped. */
    static TakeStory refined() {
        Retake drop = new Retake(Retake.Fate.DROP, Retake.NONE.since(), 0);
        return of(lesson(), new Refinements(0, 0, 0, 0, drop, 0, 0), QUIET, List.of());
    }
}
