package instep.edit;

import instep.cutlist.Jump;
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
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/** Timelines for the tests of the writers. */
final class Timelines {
    static final Retake DROP = new Retake(Retake.Fate.DROP, Retake.NONE.since(), 0);
    static final Retake FLAG = new Retake(Retake.Fate.FLAG, Retake.NONE.since(), 0);

    private Timelines() {}

    static Refinements retakes(Retake retake) {
        return new Refinements(0, 0, 0, 0, retake, 0, 0);
    }

    /** A take whose shots begin at these frames; the last number is its end. */
    static Take take(List<String> angles, List<Mark> marks, long... frames) {
        List<Shot> shots = new ArrayList<>();
        for (int i = 0; i < angles.size(); i++) {
            shots.add(new Shot(1, angles.get(i), frames[i], frames[i + 1]));
        }
        return new Take(1, frames[0], frames[frames.length - 1], true, shots, marks);
    }

    static Layout layout(FrameRate rate, Sound sound, long handles) {
        return new Layout(rate, rate.framesPerDay() / 24, handles, Media.ORIGINAL, sound);
    }

    /** The reel is the angle in capitals; there are files of both sorts. */
    static Source source(String angle) {
        String reel = angle.toUpperCase(Locale.ROOT);
        return angle.isEmpty()
                ? Source.unknown("")
                : new Source(angle, reel, "proxies/" + reel + ".mp4", "/cards/" + reel + " 1.mov");
    }

    static Timeline of(Take take, Refinements by, Layout layout) {
        return Timeline.of("Lesson", Refined.of(take, by), layout, Timelines::source);
    }

    static Timeline withReels(Take take, FrameRate rate, Map<String, String> reels) {
        return Timeline.of(
                "Lesson",
                Refined.of(take, Refinements.NONE),
                layout(rate, Sound.NONE, 0),
                angle -> new Source(angle, reels.getOrDefault(angle, ""), "", ""));
    }

    /** Ten seconds at 25 with everything in it: a chapter, a passage that went wrong, a mark in what is dropped. */
    static Take lesson() {
        return take(
                List.of("wide", "wheel", "hands", "wide"),
                List.of(
                        new Mark("chapter", "centre the \"clay\", & <press>", 900_030),
                        new Mark("note", "in what goes", 900_130),
                        new Mark("retake", "", 900_160),
                        new Mark("clean", "", 900_240)),
                900_000,
                900_050,
                900_120,
                900_200,
                900_250);
    }

    /** Six seconds; three seconds in, in the middle of its second shot, timecode goes from 10:00:03:00 to 01:00:00:00. */
    static Take jumping() {
        List<Shot> shots = List.of(new Shot(1, "wide", 900_000, 900_050), new Shot(1, "wheel", 900_050, 900_150));
        List<Mark> marks = List.of(new Mark("chapter", "late", 900_100));
        return new Take(1, 900_000, 900_150, true, shots, marks, List.of(new Jump(900_075, 90_000 - 900_075)));
    }

    static Timeline lesson(Retake retake, Sound sound) {
        return of(lesson(), retakes(retake), layout(FrameRate.R25, sound, 10));
    }
}
