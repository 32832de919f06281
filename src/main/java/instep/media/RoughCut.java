package instep.media;

import instep.cutlist.Recording;
import instep.time.Timecode;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;

/**
 * A rough cut while it is made: each take is filmed into a file of its own beside the result, and these are joined in the end, without a seam and without a second encoding. A take whose file
 * is there already, made of the same frames of the same files in the same way, is not filmed again. The result is whole or not there. Blocks; {@link #cancel} may come from any thread.
 */
public final class RoughCut {
    /** What stands in each film, so that it can be told from a recording. */
    static final String MADE = "A rough cut made by Instep";

    /** Who hears how it gets on. */
    public interface Listener {
        /** So many more frames are done; {@code kept} if they were there already. */
        void done(long frames, boolean kept);
    }

    private static final int PATIENCE_SECONDS = 10;

    private final CountDownLatch over = new CountDownLatch(1);
    private final Children children;
    private final Canvas canvas;
    private final Path target;
    private final Path parts;
    private final Listener listener;
    private final TakeFilm film;

    /** A cut into a file that may be written over. Beside it lies a folder for the takes, until all are there. */
    public RoughCut(Programs programs, Canvas canvas, Path target, Listener listener) {
        this.children = new Children(programs);
        this.canvas = canvas;
        this.target = target.toAbsolutePath();
        this.parts = this.target.resolveSibling(this.target.getFileName() + ".parts");
        this.listener = listener;
        this.film = new TakeFilm(children, canvas, frames -> listener.done(frames, false));
    }

    /** The folder in which finished takes lie. */
    public Path parts() {
        return parts;
    }

    /** Ends the work as soon as possible, without a result; takes that are finished stay. Once this returns, nothing half done is there. */
    public void cancel() {
        children.cancel();
        try {
            over.await(PATIENCE_SECONDS, TimeUnit.SECONDS);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    /**
     * Makes it, once.
     *
     * @param start the label of the first frame
     * @throws CancellationException if it was cancelled
     * @throws IOException if a program is missing or fails, or a file cannot be read or written
     */
    public void make(List<TakeCut> takes, Timecode start) throws IOException {
        boolean whole = false;
        try {
            Files.createDirectories(parts);
            List<Path> films = new ArrayList<>();
            for (TakeCut take : takes) {
                films.add(film(take));
            }
            join(films, takes.stream().anyMatch(take -> !take.sound().isEmpty()), start);
            whole = true;
        } catch (IOException e) {
            children.check();
            throw e;
        } finally {
            sweep(whole);
            over.countDown();
        }
    }

    private Path film(TakeCut take) throws IOException {
        Path pictures = parts.resolve(take.name().replaceAll("[^A-Za-z0-9-]+", "-") + "-" + print(take) + ".mp4");
        if (Files.exists(pictures) && Files.exists(sound(pictures))) {
            listener.done(take.frames(), true);
            return pictures;
        }
        Path part = part(pictures);
        Path heard = part(sound(pictures));
        film.pictures(take.pictures(), part);
        film.sound(take.sound(), heard);
        children.unlessCancelled(() -> {
            Files.move(heard, sound(pictures), StandardCopyOption.REPLACE_EXISTING);
            Files.move(part, pictures, StandardCopyOption.REPLACE_EXISTING);
        });
        return pictures;
    }

    /** What tells this film of the take from any other. */
    private String print(TakeCut take) throws IOException {
        StringBuilder all = new StringBuilder(film.manner());
        for (List<Stretch> stretches : List.of(take.pictures(), take.sound())) {
            all.append('\n').append(stretches.size());
            for (Stretch stretch : stretches) {
                all.append('\n').append(stretch.first()).append(' ').append(stretch.frames());
                if (stretch.recording().isPresent()) {
                    Recording recording = stretch.recording().get();
                    Path file = Path.of(recording.file());
                    all.append(' ').append(Files.size(file)).append(' ').append(Files.getLastModifiedTime(file));
                    all.append(' ').append(recording.file());
                }
            }
        }
        try {
            byte[] digest =
                    MessageDigest.getInstance("SHA-256").digest(all.toString().getBytes(StandardCharsets.UTF_8));
            return HexFormat.of().formatHex(digest, 0, 8);
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }

    private void join(List<Path> films, boolean heard, Timecode start) throws IOException {
        Path list = parts.resolve("takes.part");
        StringBuilder names = new StringBuilder("ffconcat version 1.0\n");
        films.forEach(one -> names.append("file ").append(one.getFileName()).append('\n'));
        Files.writeString(list, names);
        List<String> join = TakeFilm.arguments("-f", "concat", "-safe", "0", "-i", list.toString());
        if (heard) {
            join.addAll(List.of("-f", "s16le", "-ar", String.valueOf(Canvas.SAMPLE_RATE), "-ac", "2", "-i", "pipe:0"));
            join.addAll(List.of("-map", "0:v", "-map", "1:a", "-c:a", "aac", "-b:a", "160k"));
        }
        String kind = kind(target);
        join.addAll(List.of(
                "-c:v",
                "copy",
                "-video_track_timescale",
                String.valueOf(canvas.rate().numerator() * 512),
                "-metadata",
                "comment=" + MADE));
        join.addAll(
                kind.equals("matroska")
                        ? List.of("-metadata:s:v:0", "timecode=" + start)
                        : List.of("-timecode", start.toString(), "-movflags", "+faststart"));
        join.addAll(List.of("-f", kind, "-y", part(target).toString()));
        try (Children.Child joiner = children.startFed(join)) {
            try (OutputStream samples = joiner.process().getOutputStream()) {
                for (Path one : heard ? films : List.<Path>of()) {
                    Files.copy(sound(one), samples);
                }
            } catch (IOException e) {
                if (!joiner.process().isAlive()) {
                    joiner.finish("the takes cannot be joined");
                }
                throw e;
            }
            joiner.finish("the takes cannot be joined");
        }
        children.unlessCancelled(() -> Files.move(part(target), target, StandardCopyOption.REPLACE_EXISTING));
    }

    /** How FFmpeg calls the container of a file of that name; empty: none that this program makes. */
    public static String kind(Path file) {
        String name = String.valueOf(file.getFileName());
        return switch (name.substring(name.lastIndexOf('.') + 1)) {
            case "mp4" -> "mp4";
            case "mov" -> "mov";
            case "mkv" -> "matroska";
            default -> "";
        };
    }

    private static Path sound(Path pictures) {
        return pictures.resolveSibling(pictures.getFileName() + ".pcm");
    }

    private static Path part(Path file) {
        return file.resolveSibling(file.getFileName() + ".part");
    }

    /** Takes away what is half done; when all is, also the takes, and the folder if nothing else is in it. */
    private void sweep(boolean whole) {
        try {
            Files.deleteIfExists(part(target));
            List<String> ours = whole ? List.of(".part", ".mp4", ".pcm") : List.of(".part");
            try (Stream<Path> files = Files.list(parts)) {
                for (Path file : files.filter(one -> ours.stream().anyMatch(one.toString()::endsWith))
                        .toList()) {
                    Files.deleteIfExists(file);
                }
            }
            if (whole) {
                Files.delete(parts);
            }
        } catch (IOException e) {
            // What cannot be taken away is written over the next time, and a folder of somebody else's files stays.
        }
    }
}
