package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.config.ConfigReader;
import instep.input.Performance;
import instep.journal.Entry;
import instep.journal.Key;
import instep.journal.Kind;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A mixer that takes every cut and says of none that it is on air. */
class SilentMixerTest {
    private static final Duration PATIENCE = Duration.ofSeconds(30);
    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            gear:
              mixer:
                tcp: 127.0.0.1:PORT
                stale-after: 20s
                confirm-within: WITHIN
                resync: none
                replies: [{ line: "^ONAIR (?<angle>[0-9]+)$", on-air: { "1": wide, "2": wheel } }]
            angles:
              wide:  { reel: WIDE,  cut: { mixer: "CUT 1" } }
              wheel: { reel: WHEEL, cut: { mixer: "CUT 2" } }
            messages:
              alarm: { mixer: ALARM }
            pedals:
              floor: { match: { usb: "1209:2303" }, contacts: { left: KEY_A, right: KEY_C } }
            machine:
              initial: standby
              states:
                standby: { on: { right.press: rolling } }
                rolling:
                  rolling: true
                  angle: wide
                  on:
                    left.press: { angle: wheel, until: left.release }
                    mixer.silent: { send: alarm, mark: silent }
            """;

    @TempDir
    private Path folder = Path.of("");

    /** What happens after the press. */
    private interface Lesson {
        void with(LineSink mixer) throws Exception;
    }

    private List<Entry> played(String within, String edges, Lesson lesson) throws Exception {
        try (LineSink mixer = LineSink.open()) {
            String yaml = MAPPING.replace("PORT", "" + mixer.port()).replace("WITHIN", within);
            Optional<Performance> feet = Optional.of(Performance.parse("feet.performance", edges));
            Daemon daemon =
                    Daemon.start(ConfigReader.parse("lesson.yaml", yaml), new Daemon.Options(folder, 1, feet, false));
            try {
                lesson.with(mixer);
            } finally {
                daemon.close("over");
            }
        }
        return run().entries();
    }

    private RunFolder run() {
        return new RunFolder(folder);
    }

    private static List<Entry> unconfirmed(List<Entry> entries) {
        return entries.stream()
                .filter(entry ->
                        entry.kind() == Kind.FAULT && entry.text(Key.ANGLE).isPresent())
                .toList();
    }

    @Test
    void isAFaultAndAnEventForTheMachineAndHoldsInAReplay() throws Exception {
        List<Entry> entries = played("200ms", "0.3 right close\n", mixer -> {
            run().waitForLog("ALARM");
            mixer.say("ONAIR 1");
            run().waitForLog("ONAIR 1");
        });
        assertThat(unconfirmed(entries)).singleElement().satisfies(fault -> {
            assertThat(fault.text(Key.GEAR)).contains("mixer");
            assertThat(fault.text(Key.ANGLE)).contains("wide");
            assertThat(fault.fields()).containsEntry(Key.SILENT, true);
            Entry cut = entries.stream()
                    .filter(one -> one.kind() == Kind.CUT)
                    .findFirst()
                    .orElseThrow();
            assertThat(fault.number(Key.TICKET)).hasValue(cut.seq());
            assertThat(fault.mono() - cut.mono()).isGreaterThanOrEqualTo(200_000_000L);
        });
        assertThat(entries).filteredOn(entry -> entry.kind() == Kind.MARK).hasSize(1);
        assertThat(run().log())
                .contains("!! FAULT   mixer  it has not said within 200 ms that wide is on air: look at")
                .contains("MARK    silent");
        assertThat(unconfirmed(run().holdsInAReplay())).hasSize(1);
    }

    /** On a busy machine it may say so too late; then the fault stands before. The second cut comes when the time of the first one is long over. */
    @Test
    void isNoneWhereItSaysSo() throws Exception {
        List<Entry> entries = played("1s", "0.3 right close\n2.5 left close\n", mixer -> {
            await().atMost(PATIENCE).until(() -> mixer.count() > 0);
            mixer.say("ONAIR 1");
            run().waitForLog("CUT     wide -> wheel");
        });
        Entry confirmed = entries.stream()
                .filter(entry -> entry.kind() == Kind.CONFIRMED)
                .findFirst()
                .orElseThrow();
        assertThat(unconfirmed(entries))
                .filteredOn(fault -> fault.text(Key.ANGLE).equals(Optional.of("wide")))
                .allMatch(fault -> fault.seq() < confirmed.seq());
    }

    /** The first one is replaced while it still has time, so that only the second one is missing. */
    @Test
    void isNoneForACutThatAnotherOneHasReplaced() throws Exception {
        List<Entry> entries =
                played("2s", "0.3 right close\n0.6 left close\n", mixer -> run().waitForLog("that wheel is on air"));
        assertThat(unconfirmed(entries))
                .extracting(fault -> fault.text(Key.ANGLE).orElse(""))
                .containsExactly("wheel");
    }

    @Test
    void isNoneForACutThatWasNeverSent() throws Exception {
        List<Entry> entries = played("100ms", "0.3 right close\n", mixer -> {
            mixer.off();
            run().waitForLog("LINK    mixer  lost");
            run().waitForLog("TAKE    begins");
        });
        assertThat(unconfirmed(entries)).isEmpty();
    }
}
