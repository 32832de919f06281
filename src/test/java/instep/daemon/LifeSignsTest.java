package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import instep.config.ConfigReader;
import instep.config.Settings;
import instep.demo.PotteryLesson;
import instep.demo.Stage;
import instep.host.NotifySocket;
import instep.host.ServiceManager;
import instep.input.Performance;
import java.nio.file.Path;
import java.time.Duration;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What systemd is told of a lesson, as socat hears it. */
class LifeSignsTest {
    private static final String ROLL_AND_CUT = "0.1 right close\n0.9 right open\n2.5 left close\n";
    /** Edges that are played come from no device. */
    private static final String NO_PEDALS = ", floor is not there";

    @TempDir
    private Path folder = Path.of("");

    private interface During {
        void run(ServiceManager manager, Stage stage) throws Exception;
    }

    private List<String> told(Map<String, String> also, During during) throws Exception {
        Settings settings = ConfigReader.parse("pottery.yaml", PotteryLesson.patient());
        Performance edges = Performance.parse("feet", ROLL_AND_CUT);
        try (ServiceManager manager = ServiceManager.in(folder);
                Stage stage = Stage.open(settings.gear())) {
            Map<String, String> environment = new HashMap<>(manager.environment());
            environment.putAll(also);
            Daemon daemon = Daemon.start(
                    settings.withGear(stage.gear()),
                    new Daemon.Options(folder.resolve("journal"), 1, Optional.of(edges), false));
            try {
                daemon.reportTo(NotifySocket.of(environment).orElseThrow());
                during.run(manager, stage);
            } finally {
                daemon.close("asked to");
            }
            manager.awaitLine("STATUS=asked to");
            return manager.heard();
        }
    }

    @Test
    void tellsInWordsWhatIsOnAirAndWhichGearCanBeReached() throws Exception {
        List<String> told = told(Map.of(), (manager, stage) -> {
            manager.awaitLine("STATUS=on air wide, take 1, 3 of 3 gear up" + NO_PEDALS);
            manager.awaitLine("STATUS=on air wheel, take 1, 3 of 3 gear up" + NO_PEDALS);
            stage.standIns().get(0).close();
            manager.awaitLine("STATUS=on air wheel, take 1, 2 of 3 gear up (mixer is not)" + NO_PEDALS);
        });
        assertThat(told).startsWith("READY=1").endsWith("STOPPING=1", "STATUS=asked to");
        assertThat(told.get(1)).startsWith("STATUS=");
        assertThat(told).as("no watchdog was asked for").doesNotContain("WATCHDOG=1");
    }

    @Test
    void showsTheWatchdogAgainAndAgainThatTheLoopGetsRound() throws Exception {
        List<String> told = told(
                Map.of("WATCHDOG_USEC", "100000"),
                (manager, stage) -> Awaitility.await()
                        .atMost(Duration.ofSeconds(30))
                        .until(() -> manager.heard().stream()
                                        .filter("WATCHDOG=1"::equals)
                                        .count()
                                > 5));
        assertThat(told).startsWith("READY=1").endsWith("STOPPING=1", "STATUS=asked to");
    }
}
