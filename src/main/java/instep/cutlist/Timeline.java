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
        return over(title, refined, layout, angle -> Footage.of(sources.apply(angle)));
    }

    /**
     * Lays out what is left of a take over its files. A shot that goes on from one file into the next is as many clips.
     *
     * @param footage the files of an angle
     */
    public static Timeline over(String title, Refined refined, Layout layout, Function<String, Footage> footage) {
        List<Clip> clips = new ArrayList<>();
        long record = 0;
        for (Span span : refined.spans()) {
            clips.addAll(clips(refined.take(), footage.apply(span.angle()), span.in(), span.out(), record));
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
                title,
                layout,
                refined.take(),
                clips,
                sound(refined.take(), clips, layout.sound(), footage),
                placed,
                unplaced);
    }

    /** Where timecode jumps, a clip ends and another one of the same source goes on. */
    private static List<Clip> clips(Take take, Footage footage, long in, long out, long record) {
        List<Clip> clips = new ArrayList<>();
        for (long at = in; at < out; ) {
            long to = Math.min(out, take.straightTo(at));
            clips.addAll(footage.clips(at, to, record + at - in));
            at = to;
        }
        return clips;
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

    /** One angle's sound goes on over cuts and is cut only where something was left out, timecode jumps or a file ends. */
    private static List<Clip> sound(Take take, List<Clip> clips, Sound sound, Function<String, Footage> footage) {
        if (sound.follows()) {
            return clips;
        }
        List<Clip> through = new ArrayList<>();
        int end = sound.angle().isEmpty() ? 0 : clips.size();
        for (int from = 0, to = 0; from < end; from = to) {
            Clip first = clips.get(from);
            while (to < clips.size()
                    && (to == from || clips.get(to - 1).out() == clips.get(to).in())) {
                to++;
            }
            long out = clips.get(to - 1).out();
            through.addAll(clips(take, footage.apply(sound.angle()), first.in(), out, first.record()));
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

    /** The journal's label of a frame of the take. */
    public Timecode source(long frame) {
        return Timecode.wrapped(rate(), take.labelled(frame));
    }

    /** The journal's label after a frame of the take, as its timecode goes on. */
    public Timecode after(long frame) {
        return source(frame).plus(1);
    }

    /** The label of the first frame of a clip in its active file. */
    public Timecode sourceIn(Clip clip) {
        return Timecode.wrapped(rate(), labelledIn(clip));
    }

    /** The label after the last frame of a clip in its active file, as its timecode goes on. */
    public Timecode sourceOut(Clip clip) {
        return sourceIn(clip).plus(clip.frames());
    }

    /** The frame of the label that a clip begins with in its active file, counted on over midnight. */
    public long labelledIn(Clip clip) {
        return labelled(clip, clip.in(), layout.active());
    }

    /** The frame of the label that what is kept for a clip begins with, counted on over midnight. */
    public long labelledKeptIn(Clip clip, Media media) {
        return labelled(clip, keptIn(clip, media), media);
    }

    /** A file's own timecode goes straight on, whatever that of the journal does. */
    private long labelled(Clip clip, long frame, Media media) {
        Piece piece = clip.source().piece(media);
        return piece.isPlaced() ? frame + piece.shift() : take.labelled(frame);
    }

    /** The first frame that is kept for a clip, that of its handle. The file may have more than the take; where it is not known, a handle ends where timecode jumps. */
    public long keptIn(Clip clip, Media media) {
        Piece piece = clip.source().piece(media);
        long from = piece.isPlaced() ? piece.in() : take.straightFrom(clip.in());
        return layout.handles() == 0 ? from : Math.max(from, clip.in() - layout.handles());
    }

    /** The frame after the last that is kept for a clip. */
    public long keptOut(Clip clip, Media media) {
        Piece piece = clip.source().piece(media);
        long to = piece.isPlaced() ? piece.out() : take.straightTo(clip.in());
        return layout.handles() == 0 ? to : Math.min(to, clip.out() + layout.handles());
    }

    /** The first frame that is kept for a clip in its active file. */
    public long keptIn(Clip clip) {
        return keptIn(clip, layout.active());
    }

    /** The frame after the last that is kept for a clip in its active file. */
    public long keptOut(Clip clip) {
        return keptOut(clip, layout.active());
    }

    /** What a person calls a clip of a source. */
    public String name(Source source) {
        return (source.angle().isEmpty() ? "unknown" : source.angle()) + " take " + take.number();
    }
}
