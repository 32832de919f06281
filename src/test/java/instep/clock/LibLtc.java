package instep.clock;

import static org.assertj.core.api.Assertions.assertThat;

import instep.reference.Installed;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;

/** libltc, through a small program that is compiled for the tests. */
final class LibLtc {
    private final Path program;

    private LibLtc(Path program) {
        this.program = program;
    }

    /** Compiles it; the test is left out where there is no compiler or no libltc. */
    static LibLtc compile(Path folder) throws IOException, InterruptedException {
        Installed.file("/usr/include/ltc.h", "libltc-dev");
        Installed.program("gcc", "gcc libc6-dev");
        Path program = folder.resolve("ltc");
        Process gcc = new ProcessBuilder("gcc", "-O1", "-o", program.toString(), "src/test/c/ltc.c", "-lltc", "-lm")
                .inheritIO()
                .start();
        assertThat(gcc.waitFor()).isZero();
        return new LibLtc(program);
    }

    /** Samples from -1 to 1. */
    double[] encode(String fps, int sampleRate, String label, int frames, boolean drop) throws IOException {
        List<String> command = new ArrayList<>(List.of("encode", fps, String.valueOf(sampleRate)));
        command.addAll(List.of(label.split("[:;]")));
        command.addAll(List.of(String.valueOf(frames), drop ? "1" : "0"));
        byte[] bytes = run(command, new byte[0]);
        double[] samples = new double[bytes.length];
        for (int i = 0; i < bytes.length; i++) {
            samples[i] = ((bytes[i] & 255) - 128) / 127.0;
        }
        return samples;
    }

    /** Labels, with {@code R} before those that were read backwards. */
    List<String> decode(String fps, int sampleRate, double[] samples) throws IOException {
        byte[] bytes = new byte[samples.length];
        for (int i = 0; i < bytes.length; i++) {
            bytes[i] = (byte) (Math.round(samples[i] * 127) + 128);
        }
        byte[] lines = run(List.of("decode", fps, String.valueOf(sampleRate)), bytes);
        return new String(lines, StandardCharsets.US_ASCII).lines().toList();
    }

    private byte[] run(List<String> arguments, byte[] input) throws IOException {
        List<String> command = new ArrayList<>(List.of(program.toString()));
        command.addAll(arguments);
        Process process = new ProcessBuilder(command)
                .redirectError(ProcessBuilder.Redirect.INHERIT)
                .start();
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        CompletableFuture<Void> reading = CompletableFuture.runAsync(() -> {
            try (InputStream in = process.getInputStream()) {
                in.transferTo(out);
            } catch (IOException e) {
                throw new java.io.UncheckedIOException(e);
            }
        });
        try (OutputStream to = process.getOutputStream()) {
            to.write(input);
        }
        reading.join();
        return out.toByteArray();
    }
}
