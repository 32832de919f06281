package instep.cutlist;

import instep.time.FrameRate;
import instep.time.Timecode;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.function.Function;

/**
 * A take as it is given to an editing program: clips of the sources one after the other without a gap, their sound, and marks.
 *
 * @param clips the pictures
 * @param sound the sound in the same way; empty if there is none
 * @param marks in the order of the timeline
 * @param unplaced marks whose frames were left out
 */
public record Timeline(
        String title,
        Layout layout,
        Take take,
        List<Clip> clips,
        List<Clip> sound,
        List<Placed> marks,
        List<Mark> unplaced) {
    public Timeline {
        clips = List.copyOf(clips);
        sound = List.copyOf(sound);
        marks = List.copyOf(marks);
        unplaced = List.copyOf(unplaced);
    }

    /**
     * Lays out what is left of a take.
     *
     * @param sources what is known of an angle
     */
    public static Timeline of(String title, Refined refined, Layout layout, Function<String, Source> sources) {
        List<Clip> clips = new ArrayList<>();
        long record = 0;
        for (Span span : refined.spans()) {
            // Where timecode jumps, a clip ends and another one of the same source goes on.
            for (long in = span.in();
                    in < span.out();
                    in = clips.get(clips.size() - 1).out()) {
                long out = Math.min(span.out(), refined.take().straightTo(in));
                clips.add(new Clip(sources.apply(span.angle()), in, out, record));
                record += out - in;
            }
        }
        List<Placed> placed = new ArrayList<>();
        List<Mark> unplaced = new ArrayList<>();
        for (Mark mark : refined.take().marks()) {
            int clip = clipAt(clips, mark.frame());
            if (clip < 0) {
                unplaced.add(mark);
            } else {
                placed.add(placed(mark, 0, clip, clips));
            }
        }
        for (Passage passage : refined.flagged()) {
            Mark mark = new Mark(passage.why(), "this again", passage.in());
            placed.add(placed(mark, passage.frames(), clipAt(clips, passage.in()), clips));
        }
        placed.sort(Comparator.comparingLong(Placed::record));
        return new Timeline(
                title,
                layout,
                refined.take(),
                clips,
                sound(refined.take(), clips, layout.sound(), sources),
                placed,
                unplaced);
    }

    private static int clipAt(List<Clip> clips, long frame) {
        for (int i = 0; i < clips.size(); i++) {
            if (frame >= clips.get(i).in() && frame < clips.get(i).out()) {
                return i;
            }
        }
        return -1;
    }

    private static Placed placed(Mark mark, long frames, int at, List<Clip> clips) {
        Clip clip = clips.get(at);
        return new Placed(mark.name(), mark.text(), mark.frame(), clip.record() + mark.frame() - clip.in(), frames, at);
    }

    /** One angle's sound goes on over cuts and is cut only where something was left out or timecode jumps. */
    private static List<Clip> sound(Take take, List<Clip> clips, Sound sound, Function<String, Source> sources) {
        if (sound.follows()) {
            return clips;
        }
        List<Clip> through = new ArrayList<>();
        for (Clip clip : sound.angle().isEmpty() ? List.<Clip>of() : clips) {
            int last = through.size() - 1;
            Source source = sources.apply(sound.angle());
            if (last >= 0 && through.get(last).out() == clip.in() && take.straightFrom(clip.in()) != clip.in()) {
                Clip before = through.get(last);
                through.set(last, new Clip(source, before.in(), clip.out(), before.record()));
            } else {
                through.add(new Clip(source, clip.in(), clip.out(), clip.record()));
            }
        }
        return through;
    }

    public FrameRate rate() {
        return layout.rate();
    }

    /** How long it is. */
    public long frames() {
        return clips.isEmpty() ? 0 : clips.get(clips.size() - 1).recordOut();
    }

    /** The label of a frame of the timeline, counted from its beginning. */
    public Timecode record(long frame) {
        return Timecode.wrapped(rate(), layout.start() + frame);
    }

    /** The label of a frame of a source. */
    public Timecode source(long frame) {
        return Timecode.wrapped(rate(), take.labelled(frame));
    }

    /** The label of the first frame of a clip. */
    public Timecode sourceIn(Clip clip) {
        return source(clip.in());
    }

    /** The label after the last frame of a clip, as its timecode goes on. */
    public Timecode sourceOut(Clip clip) {
        return source(clip.out() - 1).plus(1);
    }

    /** The frame of the label that a clip begins with, counted on over midnight. */
    public long labelledIn(Clip clip) {
        return take.labelled(clip.in());
    }

    /** The frame of the label that what is kept for a clip begins with, counted on over midnight. */
    public long labelledKeptIn(Clip clip) {
        return take.labelled(keptIn(clip));
    }

    /** The first frame that is kept for a clip: that of its handle. A handle ends where timecode jumps. */
    public long keptIn(Clip clip) {
        long from = take.straightFrom(clip.in());
        return layout.handles() == 0 ? from : Math.max(from, clip.in() - layout.handles());
    }

    /** The frame after the last that is kept for a clip. */
    public long keptOut(Clip clip) {
        long to = take.straightTo(clip.in());
        return layout.handles() == 0 ? to : Math.min(to, clip.out() + layout.handles());
    }

    /** What a person calls a clip of a source. */
    public String name(Source source) {
        return (source.angle().isEmpty() ? "unknown" : source.angle()) + " take " + take.number();
    }
}
