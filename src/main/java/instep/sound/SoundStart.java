package instep.sound;

import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * Where a file of sound says that it begins; what it does not say is empty or negative.
 *
 * @param timecode the label of its first frame
 * @param nanos since midnight, from the time reference of a broadcast wave file (EBU Tech 3285, which counts samples)
 */
public record SoundStart(String timecode, long nanos) {
    private static final String PROGRAM = "ffprobe";

    /** Asks FFmpeg's ffprobe. */
    public static SoundStart of(Path file) throws IOException {
        List<String> command = List.of(
                PROGRAM,
                "-v",
                "error",
                "-show_entries",
                "format_tags=timecode,time_reference:stream_tags=timecode,time_reference:stream=sample_rate",
                "-of",
                "default=noprint_wrappers=1",
                file.toString());
        try {
            Process process = new ProcessBuilder(command)
                    .redirectError(ProcessBuilder.Redirect.DISCARD)
                    .redirectInput(new File("/dev/null"))
                    .start();
            String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
            if (process.waitFor() != 0) {
                throw new IOException(file + " cannot be read: is it there, and has it sound?");
            }
            return parse(said);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IOException("interrupted while asking about " + file, e);
        }
    }

    static SoundStart parse(String said) {
        Map<String, String> values = new HashMap<>();
        said.lines().map(String::strip).forEach(line -> {
            int at = line.indexOf('=');
            if (at > 0) {
                values.putIfAbsent(line.substring(0, at).replace("TAG:", ""), line.substring(at + 1));
            }
        });
        String samples = values.getOrDefault("time_reference", "");
        String rate = values.getOrDefault("sample_rate", "");
        boolean told = samples.matches("[0-9]{1,15}") && rate.matches("[1-9][0-9]{0,6}");
        long nanos = told ? Math.round(Long.parseLong(samples) * 1e9 / Long.parseLong(rate)) : -1;
        return new SoundStart(values.getOrDefault("timecode", ""), nanos);
    }
}
