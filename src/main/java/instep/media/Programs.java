package instep.media;

import java.io.File;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/**
 * FFmpeg's programs as they are called on this machine.
 *
 * @param ffmpeg makes files
 * @param ffprobe tells what a file holds
 */
public record Programs(String ffmpeg, String ffprobe) {
    /** Those that the shell would find. */
    public static final Programs INSTALLED = new Programs("ffmpeg", "ffprobe");

    /** Those of a folder. */
    public static Programs in(Path folder) {
        return new Programs(
                folder.resolve("ffmpeg").toString(), folder.resolve("ffprobe").toString());
    }

    /** Begins a program that can ask nobody. */
    static ProcessBuilder builder(String program, List<String> arguments) {
        List<String> command = new ArrayList<>();
        command.add(program);
        command.addAll(arguments);
        return new ProcessBuilder(command).redirectInput(new File("/dev/null"));
    }

    static Process start(ProcessBuilder builder) throws MissingProgramException {
        try {
            return builder.start();
        } catch (IOException e) {
            throw new MissingProgramException(builder.command().get(0), e);
        }
    }
}
