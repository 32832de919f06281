package instep.media;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** Films whose every picture tells its camera and its number, in fields of grey that survive compression and scaling. */
public final class CodedFilm {
    public static final int WIDTH = 128;
    public static final int HEIGHT = 64;
    /** Numbers begin again after so many. */
    public static final int NUMBERS = 1 << 12;

    private static final int SHADE = 32;
    private static final int BIT = 8;

    private CodedFilm() {}

    /**
     * Makes a film with a tone that is the camera's own.
     *
     * @param camera from 0 to 5
     * @param first the number of the first picture
     * @param arguments for the encoder, and the file
     */
    public static void make(Path folder, int camera, long first, int frames, String rate, String... arguments)
            throws IOException, InterruptedException {
        List<String> command = new ArrayList<>(List.of("ffmpeg", "-v", "error", "-y", "-f", "rawvideo"));
        command.addAll(List.of("-pix_fmt", "gray", "-s", WIDTH + "x" + HEIGHT, "-r", rate, "-i", "pipe:0"));
        command.addAll(List.of("-f", "lavfi", "-i", "sine=r=48000:f=" + tone(camera), "-shortest"));
        command.addAll(List.of(arguments));
        Process ffmpeg = new ProcessBuilder(command)
                .directory(folder.toFile())
                .redirectErrorStream(true)
                .start();
        try (OutputStream pictures = ffmpeg.getOutputStream()) {
            for (int frame = 0; frame < frames; frame++) {
                pictures.write(picture(camera, (int) Math.floorMod(first + frame, (long) NUMBERS)));
            }
        }
        String said = new String(ffmpeg.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertThat(ffmpeg.waitFor()).as(said).isZero();
    }

    /** How high a camera sounds, in Hz. */
    public static int tone(int camera) {
        return 400 + 300 * camera;
    }

    private static byte[] picture(int camera, int number) {
        byte[] row = new byte[WIDTH];
        Arrays.fill(row, 0, SHADE, (byte) (40 + 36 * camera));
        for (int bit = 0; bit < 12; bit++) {
            int from = SHADE + BIT * bit;
            Arrays.fill(row, from, from + BIT, (byte) (((number >> bit) & 1) == 1 ? 220 : 30));
        }
        byte[] picture = new byte[WIDTH * HEIGHT];
        for (int y = 0; y < HEIGHT; y++) {
            System.arraycopy(row, 0, picture, y * WIDTH, WIDTH);
        }
        return picture;
    }

    /** All pictures of a film, each as its camera and its number; black is {@code -}. */
    public static List<String> read(Path film) throws IOException, InterruptedException {
        Path raw = Files.createTempFile("film", ".grey");
        try {
            Filmed.ffmpeg(
                    Path.of("").toAbsolutePath(),
                    "-i",
                    film.toString(),
                    "-an",
                    "-vf",
                    "scale=" + WIDTH + ":" + HEIGHT,
                    "-fps_mode",
                    "passthrough",
                    "-f",
                    "rawvideo",
                    "-pix_fmt",
                    "gray",
                    raw.toString());
            byte[] all = Files.readAllBytes(raw);
            List<String> pictures = new ArrayList<>();
            for (int at = 0; at + WIDTH * HEIGHT <= all.length; at += WIDTH * HEIGHT) {
                pictures.add(told(all, at + HEIGHT / 2 * WIDTH));
            }
            return pictures;
        } finally {
            Files.delete(raw);
        }
    }

    private static String told(byte[] grey, int row) {
        int shade = grey[row + SHADE / 2] & 255;
        int number = 0;
        for (int bit = 0; bit < 12; bit++) {
            number |= (grey[row + SHADE + BIT * bit + BIT / 2] & 255) > 125 ? 1 << bit : 0;
        }
        return shade < 25 ? "-" : Math.round((shade - 40) / 36.0) + " " + number;
    }

    /** The loudest of the cameras' tones in some samples of two channels, as the camera; -1 for silence. */
    public static int loudest(short[] samples, int from, int count) {
        int loudest = -1;
        double most = 1e5;
        for (int camera = 0; camera < 6; camera++) {
            double re = 0;
            double im = 0;
            for (int i = 0; i < count; i++) {
                double angle = 2 * Math.PI * tone(camera) * i / 48_000;
                re += samples[2 * (from + i)] * Math.cos(angle);
                im += samples[2 * (from + i)] * Math.sin(angle);
            }
            double power = Math.hypot(re, im);
            if (power > most) {
                most = power;
                loudest = camera;
            }
        }
        return loudest;
    }

    /** The sound of a film, 48000 samples a second of two channels. */
    public static short[] samples(Path film) throws IOException, InterruptedException {
        Path raw = Files.createTempFile("film", ".pcm");
        try {
            Filmed.ffmpeg(
                    Path.of("").toAbsolutePath(),
                    "-i",
                    film.toString(),
                    "-vn",
                    "-ar",
                    "48000",
                    "-ac",
                    "2",
                    "-f",
                    "s16le",
                    raw.toString());
            byte[] all = Files.readAllBytes(raw);
            short[] samples = new short[all.length / 2];
            for (int i = 0; i < samples.length; i++) {
                samples[i] = (short) ((all[2 * i] & 255) | (all[2 * i + 1] << 8));
            }
            return samples;
        } finally {
            Files.delete(raw);
        }
    }
}
