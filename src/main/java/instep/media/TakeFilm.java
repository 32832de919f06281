package instep.media;

import instep.cutlist.Recording;
import java.io.EOFException;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Locale;
import java.util.function.LongConsumer;
import java.util.regex.Pattern;

/**
 * Films a take anew: a process after the other decodes the frames of a stretch, and one encodes all of them. Between them the frames are counted here, one by one: each stretch is as long as
 * the cut list says, or the work fails.
 */
final class TakeFilm {
    /** Pictures of which each second stands for itself, so that one can jump in them; without frames that refer to later ones, so that takes join without a seam. */
    private static final List<String> ENCODING =
            List.of("-c:v", "libx264", "-preset", "veryfast", "-crf", "20", "-bf", "0", "-pix_fmt", "yuv420p");

    private static final List<String> COLOURS =
            List.of("-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", "-color_range", "tv");
    private static final int BUFFER = 1 << 16;
    /** Containers without an index. */
    private static final Pattern UNINDEXED = Pattern.compile("\\.(?:m?ts|m2ts?|mpe?g|vob)$", Pattern.CASE_INSENSITIVE);
    /** Containers without time stamps, which FFmpeg guesses after a jump: they are read from their beginning. */
    private static final Pattern UNSTAMPED = Pattern.compile("\\.avi$", Pattern.CASE_INSENSITIVE);

    private static final double LONGEST_GROUP_SECONDS = 12;
    /** Some codecs of sound need what was before. */
    private static final double SOUND_RUN_SECONDS = 0.5;

    private final Children children;
    private final Canvas canvas;
    private final LongConsumer progress;

    TakeFilm(Children children, Canvas canvas, LongConsumer progress) {
        this.children = children;
        this.canvas = canvas;
        this.progress = progress;
    }

    /** How it encodes, as far as it depends on this program. */
    String manner() {
        return canvas + " " + ENCODING + COLOURS;
    }

    /** Writes the pictures alone into a file. */
    void pictures(List<Stretch> stretches, Path into) throws IOException {
        List<String> encode = arguments("-f", "rawvideo", "-pix_fmt", "yuv420p");
        encode.addAll(List.of("-s", canvas.width() + "x" + canvas.height(), "-r", canvas.fraction(), "-i", "pipe:0"));
        encode.addAll(ENCODING);
        encode.addAll(COLOURS);
        encode.addAll(List.of("-g", String.valueOf(canvas.rate().counted())));
        encode.addAll(
                List.of("-video_track_timescale", String.valueOf(canvas.rate().numerator() * 512)));
        encode.addAll(List.of("-f", "mp4", "-y", into.toString()));
        try (Children.Child encoder = children.startFed(encode)) {
            try (OutputStream film = encoder.process().getOutputStream()) {
                expose(stretches, film);
            } catch (IOException e) {
                // Where the encoder has given up, its own words say more than a broken pipe.
                if (!encoder.process().isAlive()) {
                    encoder.finish("the pictures cannot be encoded");
                }
                throw e;
            }
            encoder.finish("the pictures cannot be encoded");
        }
    }

    /** The decoder of the next stretch begins while that of this one works: it seeks meanwhile. */
    private void expose(List<Stretch> stretches, OutputStream film) throws IOException {
        Deque<Children.Child> open = new ArrayDeque<>();
        try {
            for (int i = 0; i < stretches.size(); i++) {
                while (open.size() < Math.min(2, stretches.size() - i)) {
                    open.add(children.start(decode(stretches.get(i + open.size()))));
                }
                try (Children.Child now = open.remove()) {
                    copy(stretches.get(i), now, film);
                }
            }
        } finally {
            open.forEach(Children.Child::close);
        }
    }

    private List<String> decode(Stretch stretch) {
        List<String> decode = arguments();
        stretch.recording()
                .ifPresentOrElse(
                        recording -> {
                            seek(decode, stretch, halfEarly(stretch));
                            decode.addAll(List.of("-i", recording.file(), "-map", "0:V:0"));
                        },
                        () -> decode.addAll(List.of(
                                "-f",
                                "lavfi",
                                "-i",
                                "color=black:s=" + canvas.width() + "x" + canvas.height() + ":r="
                                        + canvas.fraction())));
        String from = stretch.recording().isEmpty()
                ? ""
                : is(UNSTAMPED, stretch)
                        ? "trim=start_frame=" + stretch.first() + ","
                        : "trim=start=" + seconds(halfEarly(stretch)) + ",";
        decode.addAll(List.of("-an", "-sn", "-dn", "-vf", from + canvas.filter(), "-fps_mode", "passthrough"));
        decode.addAll(List.of("-frames:v", String.valueOf(stretch.frames()), "-f", "rawvideo", "pipe:1"));
        return decode;
    }

    /** The time stamp of the first frame, in seconds. */
    private double at(Stretch stretch) {
        return stretch.recording().map(Recording::stamp).orElse(0L) / 1e6 + stretch.first() / fps();
    }

    /** Containers round time stamps: the first frame that is not before this is the one that is meant. */
    private double halfEarly(Stretch stretch) {
        return at(stretch) - 0.5 / fps();
    }

    /** Time stamps stay those of the container. Where FFmpeg does not find the beginning of a group of pictures, reading begins far before. */
    private static void seek(List<String> arguments, Stretch stretch, double at) {
        double from = is(UNINDEXED, stretch) ? at - LONGEST_GROUP_SECONDS : at;
        arguments.addAll(List.of("-copyts", "-noaccurate_seek"));
        if (stretch.first() > 0 && from > 0 && !is(UNSTAMPED, stretch)) {
            arguments.addAll(List.of("-seek_timestamp", "1", "-ss", seconds(from)));
        }
    }

    private static boolean is(Pattern container, Stretch stretch) {
        return stretch.recording()
                .map(recording -> container.matcher(recording.file()).find())
                .orElse(false);
    }

    private void copy(Stretch stretch, Children.Child decoder, OutputStream film) throws IOException {
        byte[] picture = new byte[canvas.pictureBytes()];
        InputStream in = decoder.process().getInputStream();
        for (long frame = 0; frame < stretch.frames(); frame++) {
            if (in.readNBytes(picture, 0, picture.length) < picture.length) {
                String file = name(stretch);
                decoder.finish(file + " cannot be read");
                throw new EOFException(file + " ends " + (stretch.frames() - frame) + " frames early: it has no frame "
                        + (stretch.first() + frame));
            }
            film.write(picture);
            progress.accept(1);
        }
    }

    /** Writes the sound alone into a file, as samples. */
    void sound(List<Stretch> stretches, Path into) throws IOException {
        try (OutputStream out = Files.newOutputStream(into)) {
            long frames = 0;
            for (Stretch stretch : stretches) {
                long samples = canvas.samples(frames + stretch.frames()) - canvas.samples(frames);
                sound(stretch, samples * Canvas.SAMPLE_BYTES, out);
                frames += stretch.frames();
            }
        }
    }

    /** What the file does not have is silence. */
    private void sound(Stretch stretch, long bytes, OutputStream out) throws IOException {
        long left = bytes;
        if (stretch.recording().map(recording -> recording.sounds() > 0).orElse(false)) {
            try (Children.Child decoder = children.start(hear(stretch))) {
                InputStream in = decoder.process().getInputStream();
                byte[] buffer = new byte[BUFFER];
                int read = 0;
                while (left > 0 && read >= 0) {
                    read = in.read(buffer, 0, (int) Math.min(buffer.length, left));
                    out.write(buffer, 0, Math.max(0, read));
                    left -= Math.max(0, read);
                }
                if (left > 0) {
                    decoder.finish("the sound of " + name(stretch) + " cannot be read");
                }
            }
        }
        byte[] silence = new byte[BUFFER];
        for (; left > 0; left -= Math.min(left, BUFFER)) {
            out.write(silence, 0, (int) Math.min(left, BUFFER));
        }
    }

    private List<String> hear(Stretch stretch) {
        List<String> decode = arguments();
        stretch.recording().ifPresent(recording -> {
            seek(decode, stretch, at(stretch) - SOUND_RUN_SECONDS);
            decode.addAll(List.of("-i", recording.file(), "-map", "0:a:0"));
        });
        String from = "atrim=start=" + seconds(at(stretch)) + ":duration=" + seconds(stretch.frames() / fps() + 0.5);
        String even = "aresample=" + Canvas.SAMPLE_RATE + ":async=1:first_pts="
                + Math.round(at(stretch) * Canvas.SAMPLE_RATE);
        decode.addAll(List.of("-vn", "-sn", "-dn", "-af", from + "," + even));
        decode.addAll(List.of("-ac", "2", "-f", "s16le", "pipe:1"));
        return decode;
    }

    private double fps() {
        return (double) canvas.rate().numerator() / canvas.rate().denominator();
    }

    private static String seconds(double seconds) {
        return String.format(Locale.ROOT, "%.6f", seconds);
    }

    private static String name(Stretch stretch) {
        return stretch.recording().map(Recording::file).orElse("the black picture");
    }

    /** Only files are opened, and nobody is asked anything. */
    static List<String> arguments(String... more) {
        List<String> arguments = new ArrayList<>(List.of("-v", "error", "-protocol_whitelist", "file,pipe"));
        arguments.addAll(List.of(more));
        return arguments;
    }
}
