package instep.media;

import instep.cutlist.Recording;
import java.io.IOException;
import java.io.InputStream;
import java.io.InterruptedIOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;

/** Asks ffprobe what a recorded file holds: a process for each file, which may open nothing but files and does not get longer than a limit. Blocks. */
public final class Ffprobe {
    /** The lengths of so many frames tell whether all are alike; sound lies between them. */
    private static final int PACKETS = 600;

    private final Programs programs;
    private final Duration limit;

    public Ffprobe(Programs programs) {
        this(programs, Duration.ofSeconds(30));
    }

    Ffprobe(Programs programs, Duration limit) {
        this.programs = programs;
        this.limit = limit;
    }

    /**
     * What a file says of itself.
     *
     * @param name how it is called below the folder that was looked through
     * @throws UnreadableException if it is no recording
     * @throws MissingProgramException if there is no ffprobe
     */
    public Recording read(Path file, String name) throws UnreadableException, IOException {
        return report(file).recording(file, name);
    }

    /** Whether it is a film that {@link RoughCut} has made; not, if it cannot be read. */
    public boolean isRoughCut(Path file) throws IOException {
        try {
            return report(file).comment().equals(RoughCut.MADE);
        } catch (UnreadableException e) {
            return false;
        }
    }

    private ProbeReport report(Path file) throws UnreadableException, IOException {
        Process process = Programs.start(Programs.builder(
                programs.ffprobe(),
                List.of(
                        "-v",
                        "error",
                        "-protocol_whitelist",
                        "file",
                        "-print_format",
                        "json",
                        "-show_format",
                        "-show_streams",
                        "-show_entries",
                        "packet=stream_index,duration_time",
                        "-read_intervals",
                        "%+#" + PACKETS,
                        file.toAbsolutePath().toString())));
        CompletableFuture<byte[]> said = all(process.getInputStream());
        CompletableFuture<byte[]> complained = all(process.getErrorStream());
        try {
            if (!process.waitFor(limit.toMillis(), TimeUnit.MILLISECONDS)) {
                throw new UnreadableException("could not be looked at within " + limit.toSeconds() + " seconds");
            }
            if (process.exitValue() != 0) {
                throw new UnreadableException(
                        "cannot be read: " + reason(new String(complained.join(), StandardCharsets.UTF_8)));
            }
            return ProbeReport.of(said.join());
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new InterruptedIOException("interrupted while ffprobe looked at " + file);
        } finally {
            process.destroyForcibly();
        }
    }

    private static CompletableFuture<byte[]> all(InputStream stream) {
        return CompletableFuture.supplyAsync(() -> {
            try (stream) {
                return stream.readAllBytes();
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        });
    }

    /** The last line tells what it comes to, with the file's name before it. */
    private static String reason(String complaint) {
        String last = complaint.strip().lines().reduce("", (before, line) -> line);
        int colon = last.lastIndexOf(": ");
        return last.isEmpty() ? "ffprobe does not say why" : last.substring(colon < 0 ? 0 : colon + 2);
    }
}
