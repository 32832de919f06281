package instep.daemon;

import com.sun.jna.NativeLibrary;
import instep.command.Quiet;
import instep.config.ConfigReader;
import instep.config.Settings;
import java.nio.file.Path;
import java.util.Optional;

/**
 * The whole daemon on a FIFO in place of a pedal, as a contender of src/test/rig. Reads {@code FIFO}, {@code PORT} and, if it is to show its page, {@code DESK} from the environment and keeps
 * journal and event log in the folder that it is given.
 */
final class LatencyRig {
    /** O_RDONLY, O_NONBLOCK and O_CLOEXEC of Linux. */
    private static final int FLAGS = 0x800 | 0x80000;

    private static final String CONFIGURATION = """
            instep: 1
            timecode: { rate: 25, source: time-of-day }
            gear:
              mixer: { tcp: "127.0.0.1:%s", line-end: crlf, stale-after: 5s }
            angles:
              wide:  { reel: WIDE,  cut: { mixer: "CUT 1" } }
              wheel: { reel: WHEEL, cut: { mixer: "CUT 2" } }
            pedals:
              floor: { match: { usb: "0000:0000" }, contacts: { left: KEY_A, right: KEY_B } }
            machine:
              initial: standby
              states:
                standby: { on: { right.press: rolling } }
                rolling:
                  rolling: true
                  angle: wide
                  on: { left.press: { angle: wheel, until: left.release } }
            """;

    private LatencyRig() {}

    public static void main(String[] args) throws Exception {
        Quiet.libraries();
        String desk = System.getenv("DESK");
        String page = desk == null ? "" : "desk: { port: " + desk + " }\n";
        Settings settings = ConfigReader.parse("rig.yaml", CONFIGURATION.formatted(System.getenv("PORT")) + page);
        Daemon daemon = Daemon.start(settings, new Daemon.Options(Path.of(args[0]), 1, Optional.empty(), false));
        daemon.attach(0, open(System.getenv("FIFO")));
        System.out.println("ready");
        daemon.performed().join();
    }

    /** Opens a named pipe to read from, without waiting for anybody who writes. */
    static int open(String path) {
        int descriptor = NativeLibrary.getProcess().getFunction("open").invokeInt(new Object[] {path, FLAGS});
        if (descriptor < 0) {
            throw new IllegalStateException("cannot open " + path);
        }
        return descriptor;
    }
}
