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
            clips.add(new Clip(sources.apply(span.angle()), span.in(), span.out(), record));
            record += span.frames();
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
                title, layout, refined.take(), clips, sound(clips, layout.sound(), sources), placed, unplaced);
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

    /** One angle's sound goes on over cuts and is cut only where something was left out. */
    private static List<Clip> sound(List<Clip> clips, Sound sound, Function<String, Source> sources) {
        if (sound.follows()) {
            return clips;
        }
        List<Clip> through = new ArrayList<>();
        for (Clip clip : sound.angle().isEmpty() ? List.<Clip>of() : clips) {
            int last = through.size() - 1;
            Source source = sources.apply(sound.angle());
            if (last >= 0 && through.get(last).out() == clip.in()) {
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
        return Timecode.wrapped(rate(), frame);
    }

    /** The first frame that is kept for a clip: that of its handle. */
    public long keptIn(Clip clip) {
        return layout.handles() == 0 ? take.in() : Math.max(take.in(), clip.in() - layout.handles());
    }

    /** The frame after the last that is kept for a clip. */
    public long keptOut(Clip clip) {
        return layout.handles() == 0 ? take.out() : Math.min(take.out(), clip.out() + layout.handles());
    }

    /** What a person calls a clip of a source. */
    public String name(Source source) {
        return (source.angle().isEmpty() ? "unknown" : source.angle()) + " take " + take.number();
    }
}
