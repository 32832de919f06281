package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import instep.media.CodedFilm;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.LongStream;

/** A lesson of two takes that the daemon has recorded in a journal, and what four cameras made of it meanwhile: films whose every picture tells its camera and the frame of the journal. FFmpeg makes them (Debian's package). */
final class MadeLesson {
    private static final List<String> ANGLES = List.of("wide", "wheel", "hands", "glaze");
    /** One camera's timecode is ahead by so much. */
    static final int AHEAD = 5;

    private static final String CONFIG = """
            instep: 1
            timecode: { rate: %s, %s }
            angles:
              wide:  { reel: WIDE }
              wheel: { reel: WHEEL-CAMERA-1 }
              hands: { reel: WHEEL-CAMERA-2, files: "*/h/*" }
              glaze: { reel: GLAZE, offset: 5f }
            pedals:
              floor: { match: { usb: "1209:2303" }, contacts: { a: KEY_A, b: KEY_B, c: KEY_C, roll: KEY_D, again: KEY_E } }
            machine:
              initial: standby
              states:
                standby: { on: { roll.press: rolling } }
                rolling:
                  rolling: true
                  angle: wide
                  on:
                    a.press: { angle: wheel, until: a.release }
                    b.press: { angle: hands, until: b.press }
                    c.press: { angle: glaze, until: c.press }
                    again.press: { mark: retake }
                    roll.press: standby
            """;

    /** Two takes; in the first a flicker, which is absorbed, and a sentence that is said again, which is dropped. */
    private static final String PERFORMANCE = """
            0.20 roll close
            0.25 roll open
            1.50 a close
            3.10 a open
            3.90 b close
            3.95 b open
            4.60 c close
            4.65 c open
            5.70 c close
            5.75 c open
            6.00 a close
            6.10 a open
            6.80 again close
            6.85 again open
            7.90 b close
            7.95 b open
            8.40 roll close
            8.45 roll open
            9.40 roll close
            9.45 roll open
            9.90 a close
            10.70 a open
            11.20 roll close
            11.25 roll open
            """;

    static final String[] REFINED = {"--lead", "3f", "--minimum-shot", "200ms", "--retake", "drop"};

    private final Path folder;
    private final FrameRate rate;

    MadeLesson(Path folder, FrameRate rate) {
        this.folder = folder;
        this.rate = rate;
    }

    /** A shot as the cut list has it: which camera, from which frame, how many. */
    record Shot(int camera, long in, long frames) {}

    String path(String name) {
        return folder.resolve(name).toString();
    }

    Said instep(int code, String command, String... options) {
        List<String> args = new ArrayList<>(List.of(command, path("takes")));
        args.addAll(List.of(options));
        Said said = Said.by(args.toArray(String[]::new));
        assertThat(said.code()).as(said.err() + said.out()).isEqualTo(code);
        return said;
    }

    static String[] with(String[] some, String... more) {
        String[] all = Arrays.copyOf(some, some.length + more.length);
        System.arraycopy(more, 0, all, some.length, more.length);
        return all;
    }

    void perform(String source) throws IOException {
        Files.writeString(folder.resolve("lesson.yaml"), CONFIG.formatted(rate.label(), source));
        Files.writeString(folder.resolve("lesson.performance"), PERFORMANCE);
        Said said = Said.by(
                "demo",
                "--config",
                path("lesson.yaml"),
                "--performance",
                path("lesson.performance"),
                "--speed",
                "20",
                "--journal",
                path("takes"));
        assertThat(said.code()).as(said.err()).isZero();
    }

    /** The shots of a take, from the table that it is written to; without media, so in the journal's timecode. */
    List<Shot> shots(int take, String... options) throws IOException {
        Path table = folder.resolve("shots.csv");
        instep(0, "cutlist", with(options, "--take", String.valueOf(take), "--write", table.toString(), "--replace"));
        List<Shot> shots = new ArrayList<>();
        List<String> lines = Files.readAllLines(table);
        for (String line : lines.subList(1, lines.size())) {
            String[] cells = line.split(",", -1);
            shots.add(new Shot(
                    ANGLES.indexOf(cells[2]), Timecode.parse(cells[4], rate).frame(), Long.parseLong(cells[8])));
        }
        return shots;
    }

    /** What a camera saw from that frame of the journal on, in a file whose timecode is its own. */
    private void film(String name, int camera, long in, long frames, String... encoder) throws Exception {
        Path file = folder.resolve(name);
        Files.createDirectories(file.getParent());
        Timecode label = Timecode.wrapped(rate, in + (camera == 3 ? AHEAD : 0));
        String fraction = rate.numerator() + "/" + rate.denominator();
        CodedFilm.make(
                folder,
                camera,
                in,
                (int) frames,
                fraction,
                with(encoder, "-timecode", label.toString(), file.toString()));
    }

    private static final String[] EVERY_FRAME_A_KEY = {"-c:v", "mjpeg", "-q:v", "4"};
    private static final String[] LONG_GROUPS = {"-c:v", "libx264", "-g", "50", "-pix_fmt", "yuv420p"};
    private static final String[] SMALL = {"-c:v", "libx264", "-g", "50", "-pix_fmt", "yuv420p", "-vf", "scale=64:32"};

    /** Recorders that split, begin early or late, are ahead or leave copies; proxies of some; and files that are of no use. */
    void record(List<Shot> first, List<Shot> second) throws Exception {
        long in = first.get(0).in();
        long out = in + seconds(8.4);
        long again = second.get(0).in();
        film("cards/WIDE_01.mov", 0, in - 40, seconds(4.2) + 40, EVERY_FRAME_A_KEY);
        film("cards/WIDE_02.mov", 0, in + seconds(4.2), out - in - seconds(4.2) + 10, EVERY_FRAME_A_KEY);
        film("cards/WIDE_03.mov", 0, again - 3, 60, EVERY_FRAME_A_KEY);
        film("cards/one/WHEEL-CAMERA-1.mp4", 1, in - 7, again - in + 100, LONG_GROUPS);
        film("cards/h/0001.mov", 2, in + seconds(3.5), seconds(5.5), EVERY_FRAME_A_KEY);
        film("cards/GLAZE_1.mp4", 3, in, seconds(4.7), LONG_GROUPS);
        film("cards/GLAZE_2.mp4", 3, in + seconds(4.7), seconds(4), LONG_GROUPS);
        film("cards/proxies/WIDE.mp4", 0, in - 40, again - in + 200, SMALL);
        film("cards/proxies/WHEEL-CAMERA-1.mp4", 1, in - 7, again - in + 100, SMALL);
        Files.copy(folder.resolve("cards/GLAZE_1.mp4"), folder.resolve("cards/GLAZE_1 copy.mp4"));
        film("cards/WIDE_night.mov", 0, in + seconds(4_000), 20, EVERY_FRAME_A_KEY);
        Files.writeString(folder.resolve("cards/WIDE_torn.mov"), "torn");
        new MadeLesson(folder, rate == FrameRate.R25 ? FrameRate.R29_97 : FrameRate.R25)
                .film("cards/WIDE_other.mov", 5, in, 300, EVERY_FRAME_A_KEY);
    }

    private long seconds(double seconds) {
        return rate.frameAt((long) (seconds * 1e9));
    }

    /** What each frame must tell. */
    static List<String> expected(List<Shot> shots) {
        return shots.stream()
                .flatMap(shot -> LongStream.range(shot.in(), shot.in() + shot.frames())
                        .mapToObj(frame -> shot.camera() + " " + frame % CodedFilm.NUMBERS))
                .toList();
    }
}
