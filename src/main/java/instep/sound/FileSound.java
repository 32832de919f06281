package instep.sound;

import java.io.File;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** The first track of sound of a file, decoded by FFmpeg on a pipe. A file without sound, and a machine without FFmpeg, are told in the exception's message. */
public final class FileSound implements Heard {
    private static final String PROGRAM = "ffmpeg";
    private static final int BLOCK = 8_192;

    private final Path file;

    /** The sound of that file. */
    public FileSound(Path file) {
        this.file = file;
    }

    @Override
    public void listen(Listener to) throws IOException {
        decode(List.of(), to);
    }

    @Override
    public float[] piece(long from, int count) throws IOException {
        float[] piece = new float[count];
        int silent = (int) Math.min(count, Math.max(0, -from));
        if (silent == count) {
            return piece;
        }
        List<String> stretch = List.of("-ss", seconds(Math.max(0, from)), "-t", seconds(count - (long) silent));
        int[] at = {silent};
        decode(stretch, (samples, heard) -> {
            int room = Math.min(heard, count - at[0]);
            System.arraycopy(samples, 0, piece, at[0], room);
            at[0] += room;
        });
        return piece;
    }

    private static String seconds(long samples) {
        return String.format(Locale.ROOT, "%.6f", samples / (double) RATE);
    }

    private void decode(List<String> stretch, Listener to) throws IOException {
        List<String> command = new ArrayList<>(List.of(PROGRAM, "-v", "error", "-nostdin"));
        command.addAll(stretch);
        command.addAll(List.of("-i", file.toString(), "-map", "0:a:0", "-ac", "1", "-ar", String.valueOf(RATE)));
        // Sound that begins later than the pictures keeps its place.
        command.addAll(List.of("-af", "aresample=async=1:first_pts=0", "-f", "s16le", "-"));
        File errors = File.createTempFile("instep", ".txt");
        try {
            Process process = start(new ProcessBuilder(command).redirectError(errors));
            try (InputStream in = process.getInputStream()) {
                pump(in, to);
                if (process.waitFor() != 0) {
                    throw new IOException(file + " cannot be listened to: " + reason(errors.toPath()));
                }
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
                throw new IOException("interrupted while listening to " + file, e);
            } finally {
                process.destroy();
            }
        } finally {
            if (!errors.delete()) {
                errors.deleteOnExit();
            }
        }
    }

    private static Process start(ProcessBuilder builder) throws IOException {
        try {
            return builder.start();
        } catch (IOException e) {
            throw new IOException(
                    PROGRAM
                            + " cannot be started: is it installed? On Debian it comes with: sudo apt-get install ffmpeg",
                    e);
        }
    }

    private static void pump(InputStream in, Listener to) throws IOException {
        byte[] bytes = new byte[2 * BLOCK];
        float[] samples = new float[BLOCK];
        for (int count = in.readNBytes(bytes, 0, bytes.length);
                count > 1;
                count = in.readNBytes(bytes, 0, bytes.length)) {
            for (int i = 0; i < count / 2; i++) {
                samples[i] = (short) ((bytes[2 * i] & 0xFF) | (bytes[2 * i + 1] << 8)) / 32_768f;
            }
            to.hear(samples, count / 2);
        }
    }

    private static String reason(Path errors) throws IOException {
        String said =
                java.nio.file.Files.readString(errors, StandardCharsets.UTF_8).strip();
        if (said.contains("matches no streams")) {
            return "it has no sound";
        }
        if (said.contains("No such file")) {
            return "it is not there";
        }
        return said.isEmpty()
                ? PROGRAM + " says nothing"
                : said.lines().reduce((first, last) -> last).orElse(said);
    }
}
