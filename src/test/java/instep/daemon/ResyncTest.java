package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.config.ConfigReader;
import instep.input.KeyPipe;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A mixer that goes away in a take, while three cuts are made, and comes back: what it is told then, and nothing else. */
class ResyncTest {
    private static final Duration PATIENCE = Duration.ofSeconds(60);
    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            gear:
              mixer: { tcp: 127.0.0.1:PORT, stale-after: STALE, resync: RESYNC }
            angles:
              wide:  { reel: WIDE,  cut: { mixer: "CUT 1" } }
              wheel: { reel: WHEEL, cut: { mixer: "CUT 2" } }
              hands: { reel: HANDS, cut: { mixer: "CUT 3" } }
            messages:
              hello: [{ mixer: "HELLO {take}" }, { mixer: "LIGHTS" }]
              after: { mixer: AFTER }
            pedals:
              floor: { match: { usb: "1209:2303" }, contacts: { left: KEY_A, middle: KEY_B, right: KEY_C } }
            timing: { debounce: 1ms }
            machine:
              initial: standby
              states:
                standby: { on: { right.press: rolling } }
                rolling:
                  rolling: true
                  angle: wide
                  on:
                    left.press: { angle: wheel }
                    middle.press: { angle: hands }
                    right.press: { send: after }
            """;

    @TempDir
    private Path folder = Path.of("");

    private void press(KeyPipe keys, int code) throws Exception {
        keys.key(code, true, System.nanoTime());
        keys.key(code, false, System.nanoTime() + 3_000_000L);
    }

    /** What the mixer was told after it came back, up to what is said when all is over. */
    private List<String> told(String resync, String stale) throws Exception {
        List<String> told = new ArrayList<>();
        RunFolder run = new RunFolder(folder);
        try (LineSink mixer = LineSink.open();
                KeyPipe keys = KeyPipe.open()) {
            String yaml = MAPPING.replace("PORT", "" + mixer.port())
                    .replace("RESYNC", resync)
                    .replace("STALE", stale);
            Daemon daemon = Daemon.start(
                    ConfigReader.parse("lesson.yaml", yaml), new Daemon.Options(folder, 1, Optional.empty(), false));
            try {
                daemon.attach(0, keys.readEnd());
                run.waitForLog("mixer  up");
                press(keys, DeskRig.RIGHT);
                run.waitForLog("SENT    mixer  CUT 1");
                mixer.off();
                run.waitForLog("mixer  lost");
                mixer.take();
                press(keys, DeskRig.LEFT);
                run.waitForLog("CUT     wide -> wheel");
                press(keys, DeskRig.MIDDLE);
                run.waitForLog("CUT     wheel -> hands");
                press(keys, DeskRig.LEFT);
                run.waitForLog("CUT     hands -> wheel");
                if (!stale.equals("60s")) {
                    run.waitForLog("MISSED", 3);
                }
                mixer.on();
                run.waitForLog("mixer  up", 2);
                press(keys, DeskRig.RIGHT);
                await().atMost(PATIENCE).until(() -> {
                    told.addAll(mixer.take());
                    return told.contains("AFTER");
                });
            } finally {
                daemon.close("over");
            }
        }
        return told;
    }

    /** Nothing of what was missed in between is ever told, also where it would not be stale yet. */
    @ParameterizedTest
    @CsvSource({"100ms", "60s"})
    void tellsTheAngleThatShouldBeOnAirAndNoBacklog(String stale) throws Exception {
        assertThat(told("angle", stale)).containsExactly("CUT 2", "AFTER");
    }

    @Test
    void tellsTheMessageThatIsNamedAndNoBacklog() throws Exception {
        assertThat(told("hello", "100ms")).containsExactly("HELLO 1", "LIGHTS", "AFTER");
    }

    @Test
    void tellsNothing() throws Exception {
        assertThat(told("none", "100ms")).containsExactly("AFTER");
    }

    /** What is not stale yet goes out in time: the newest cut alone. */
    @Test
    void tellsACutThatIsStillInTimeAndNoneOfThoseItReplaced() throws Exception {
        assertThat(told("none", "60s")).containsExactly("CUT 2", "AFTER");
    }
}
