package instep.command;

import instep.after.RecordedTake;
import instep.config.CutlistSettings;
import instep.config.SnapSettings;
import instep.cutlist.Pauses;
import instep.cutlist.Retake;
import instep.sound.FileSound;
import instep.sound.Silences;
import instep.sound.SoundStart;
import instep.time.FrameRate;
import instep.time.TimeSyntaxException;
import instep.time.Timecode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;

/** Listens to sound for the pauses of takes. A file is listened to once, however many takes it holds. */
final class PauseSearch {
    private final Consumer<String> failed;
    private final Complaints remarks = new Complaints();
    private String file = "";
    private SnapSettings by = SnapSettings.NONE;
    private List<Silences.Silence> silences = List.of();
    private SoundStart start = new SoundStart("", -1);

    /** Tells why it could not listen; what else there is to know it says itself. */
    PauseSearch(Consumer<String> failed) {
        this.failed = failed;
    }

    /** None if nothing would be moved to them, or if the sound cannot be listened to; then that was told. */
    Pauses of(RecordedTake take, CutlistSettings asked) {
        String wanted = asked.snapSound(take.take().number(), take.day());
        boolean drops = asked.refinements().retake().fate() == Retake.Fate.DROP;
        if (wanted.isEmpty() || !drops || take.take().frames() == 0) {
            return Pauses.NONE;
        }
        try {
            listen(wanted, asked.snap());
            return new Pauses(pauses(take, beginning(take)), asked.snap().within());
        } catch (IOException e) {
            failed.accept("no pauses were looked for in take " + take.take().number() + ": " + e.getMessage());
            return Pauses.NONE;
        }
    }

    private void listen(String wanted, SnapSettings settings) throws IOException {
        if (wanted.equals(file) && settings.equals(by)) {
            return;
        }
        file = "";
        Silences ear = new Silences(settings.below(), settings.pause());
        start = SoundStart.of(Path.of(wanted));
        new FileSound(Path.of(wanted)).listen(ear);
        silences = ear.found();
        file = wanted;
        by = settings;
    }

    /** The frame with which the sound begins: on the day on which that is nearest to the take. */
    private long beginning(RecordedTake take) {
        FrameRate rate = take.rate();
        long in = take.take().in();
        long frame;
        try {
            if (start.timecode().isEmpty() && start.nanos() < 0) {
                remarks.tell(
                        file + " says nothing about its timecode: it is taken to begin with the first frame of take "
                                + take.take().number());
                return in;
            }
            frame = start.timecode().isEmpty()
                    ? rate.frameAt(start.nanos())
                    : Timecode.parse(start.timecode(), rate).frame();
        } catch (TimeSyntaxException e) {
            remarks.tell(file + " begins at " + start.timecode() + ", which is no label at " + rate.label()
                    + ": it is taken to begin with the first frame of take "
                    + take.take().number());
            return in;
        }
        long day = rate.framesPerDay();
        return in - Math.floorMod(in - frame + day / 2, day) + day / 2;
    }

    private List<Pauses.Pause> pauses(RecordedTake take, long beginning) {
        List<Pauses.Pause> pauses = new ArrayList<>();
        for (Silences.Silence silence : silences) {
            // Frames that are silent from their first sample to their last.
            long first = silence.from() == 0 ? 0 : take.rate().frameAt(silence.from() - 1) + 1;
            long in = Math.max(take.take().in(), beginning + first);
            long out = Math.min(take.take().out(), beginning + take.rate().frameAt(silence.to()));
            if (in < out) {
                pauses.add(new Pauses.Pause(in, out));
            }
        }
        if (pauses.isEmpty()) {
            remarks.tell(file + " has no pause in take " + take.take().number()
                    + ": is it of another time, or is its level always above " + by.below() + " dB?");
        }
        return pauses;
    }
}
