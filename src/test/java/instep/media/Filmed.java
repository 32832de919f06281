package instep.media;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** FFmpeg as tests call it to make recordings and to read results. */
public final class Filmed {
    private Filmed() {}

    /** Runs it in a folder; its complaint is that of the test. */
    public static void ffmpeg(Path folder, String... arguments) throws IOException, InterruptedException {
        List<String> command = new ArrayList<>(List.of("ffmpeg", "-v", "error", "-nostdin", "-y"));
        command.addAll(List.of(arguments));
        Process ffmpeg = new ProcessBuilder(command)
                .directory(folder.toFile())
                .redirectErrorStream(true)
                .start();
        String said = new String(ffmpeg.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertThat(ffmpeg.waitFor()).as(said).isZero();
    }

    /** A program of the test's own in place of one of FFmpeg's. */
    public static Path program(Path folder, String name, String shell) throws IOException {
        Path file = Files.writeString(folder.resolve(name), "#!/bin/sh\n" + shell + "\n");
        assertThat(file.toFile().setExecutable(true)).isTrue();
        return file;
    }
}
