package instep.gear;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.LineUnavailableException;
import javax.sound.sampled.Mixer;
import javax.sound.sampled.SourceDataLine;

/** An audio output of this machine as Java sees it. The line is open all the time, and runs only while something is played. */
final class AudioLine implements SlowOutput.Opened {
    private static final AudioFormat FORMAT = new AudioFormat(Tone.HERTZ, 16, 1, true, false);
    /** Outputs that sleep or mute themselves lose the beginning of what they are given; this much of it is silent. */
    private static final int LEAD_SAMPLES = Tone.HERTZ / 10;
    /** The end is heard out before the line is stopped. */
    private static final int TAIL_SAMPLES = Tone.HERTZ / 20;

    private static final int BUFFER_SAMPLES = Tone.HERTZ / 10;
    private static final long LOOK_NANOS = TimeUnit.MILLISECONDS.toNanos(2);
    private static final long PATIENCE_NANOS = TimeUnit.SECONDS.toNanos(2);

    /** What is called for whatever the machine has as its usual output. */
    private static final String DEFAULT = "default";

    private final String name;
    private final SourceDataLine line;

    private AudioLine(String name, SourceDataLine line) {
        this.name = name;
        this.line = line;
    }

    /** Opens the output whose name begins with that text. */
    static AudioLine open(String name) throws UnfitException {
        try {
            SourceDataLine line = name.equals(DEFAULT)
                    ? AudioSystem.getSourceDataLine(FORMAT)
                    : AudioSystem.getSourceDataLine(FORMAT, named(name));
            line.open(FORMAT, BUFFER_SAMPLES * Tone.BYTES_PER_SAMPLE);
            return new AudioLine(name, line);
        } catch (LineUnavailableException e) {
            throw new UnfitException("the audio output " + name + " is in use or cannot be opened");
        } catch (IllegalArgumentException | SecurityException | LinkageError e) {
            throw new UnfitException("there is no audio output here" + (name.equals(DEFAULT) ? "" : " called " + name)
                    + " that takes 48 kHz in 16 bits; may this user use the sound card (group audio)?");
        }
    }

    private static Mixer.Info named(String name) throws UnfitException {
        List<Mixer.Info> all = Arrays.asList(AudioSystem.getMixerInfo());
        return all.stream()
                .filter(mixer -> mixer.getName().startsWith(name))
                .findFirst()
                .orElseThrow(() -> new UnfitException("there is no audio output " + name + "; there are: "
                        + (all.isEmpty()
                                ? "none"
                                : String.join(
                                        ", ",
                                        all.stream().map(Mixer.Info::getName).toList()))));
    }

    @Override
    public String greeting() {
        return "the audio output " + name + " is open (nothing tells whether a loudspeaker is on)";
    }

    /** Plays samples as {@link Tone} makes them. */
    @Override
    public SlowOutput.Taken take(ByteBuffer samples) throws IOException {
        int count = samples.remaining() / Tone.BYTES_PER_SAMPLE;
        byte[] all = new byte[(LEAD_SAMPLES + count + silenceSamples()) * Tone.BYTES_PER_SAMPLE];
        samples.get(all, LEAD_SAMPLES * Tone.BYTES_PER_SAMPLE, count * Tone.BYTES_PER_SAMPLE);
        long before = line.getLongFramePosition();
        line.start();
        try {
            if (line.write(all, 0, all.length) < all.length) {
                throw new IOException("it took only a part of the sound");
            }
            long began = whenBegan(before, before + LEAD_SAMPLES + count + TAIL_SAMPLES);
            return new SlowOutput.Taken(
                    began + nanos(LEAD_SAMPLES),
                    "its first sample was number " + (before + LEAD_SAMPLES) + " at " + Tone.HERTZ + " a second");
        } finally {
            line.stop();
            line.flush();
        }
    }

    /** An output that is out of samples plays again what its buffer still holds until it is stopped: by then all of that is silence. */
    private int silenceSamples() {
        return Math.max(TAIL_SAMPLES, line.getBufferSize() / Tone.BYTES_PER_SAMPLE);
    }

    /** When the sample at {@code before} went out: the output tells its position late and never early, so the earliest answer is the nearest. */
    private long whenBegan(long before, long end) throws IOException {
        long began = Long.MAX_VALUE;
        long patience = System.nanoTime() + PATIENCE_NANOS;
        long at = before;
        while (at < end) {
            long now = System.nanoTime();
            at = line.getLongFramePosition();
            if (at > before) {
                began = began == Long.MAX_VALUE ? now - nanos(at - before) : Math.min(began, now - nanos(at - before));
            }
            if (now - patience > 0) {
                throw new IOException("it plays nothing");
            }
            LockSupport.parkNanos(LOOK_NANOS);
        }
        return began;
    }

    private static long nanos(long samples) {
        return samples * TimeUnit.SECONDS.toNanos(1) / Tone.HERTZ;
    }

    @Override
    public void close() {
        line.close();
    }
}
