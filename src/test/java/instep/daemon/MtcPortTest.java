package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.clock.MidiSignal;
import instep.config.ConfigReader;
import instep.config.MidiTimecodeSettings;
import instep.config.Settings;
import instep.input.DeviceMatch;
import instep.input.InputListener.DeviceState;
import instep.input.Performance;
import instep.journal.Happening;
import instep.journal.Key;
import instep.journal.Kind;
import instep.journal.Records;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** MIDI timecode on its way from the device to the machine. The messages are those of MIDI Time Code and Cueing, Detailed Specification (supplement to MIDI 1.0, 12 February 1987). */
class MtcPortTest {
    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25, source: mtc, match: { name: "*No Such Clock*" }, freewheel: 300ms }
            gear: { lamp: { osc: "udp 127.0.0.1:9" } }
            angles: { wide: { reel: A } }
            pedals: { floor: { match: { usb: "1209:2303" }, contacts: { left: { key: KEY_A } } } }
            machine:
              states:
                waiting:
                  on: { left.press: rolling, timecode.locked: { mark: found } }
                rolling: { rolling: true, angle: wide }
            """;

    @TempDir
    private Path folder = Path.of("");

    @Test
    void saysThatTheDeviceIsMissingAndGoesOnWithTheTimeOfDay() throws Exception {
        Performance edges = Performance.parse("one", "0.1 left close\n0.2 left open\n");
        Settings settings = ConfigReader.parse("mtc.yaml", MAPPING);
        Path events = folder.resolve("events.log");
        try (Daemon daemon = Daemon.start(settings, new Daemon.Options(folder, 1, Optional.of(edges), false))) {
            daemon.performed().join();
            await().atMost(Duration.ofSeconds(30))
                    .until(() -> Files.readString(events).contains("no timecode has come in: it is the time of day"));
        }
        assertThat(Files.readString(events))
                .contains("!! FAULT   MIDI timecode: waiting for name *No Such Clock*")
                .contains("take 1   !! FAULT   no timecode has come in (mtc): this take has the time of day");
    }

    /** Quarter frames go in, and the machine hears that they are followed; a device that goes takes them with it. */
    @Test
    void tellsTheMachineOfTheLock() throws Exception {
        List<String> noted = new ArrayList<>();
        Settings settings = ConfigReader.parse("mtc.yaml", MAPPING);
        Chronicle chronicle =
                Chronicle.of(new Notes(noted), settings.timecode(), WallTime.of(ZoneOffset.UTC, nanos -> nanos), 0);
        Loop loop = Loop.open(1);
        try {
            Switchboard switchboard = new Switchboard(settings, chronicle, loop);
            loop.eventLoop()
                    .submit(() -> {
                        switchboard.start(0, loop.now(), 0);
                        MtcPort port = new MtcPort(
                                FrameRate.R25,
                                new MidiTimecodeSettings(
                                        new DeviceMatch(null, "none", null, null, null, 1), 300_000_000L),
                                loop,
                                () -> switchboard);
                        Timecode from = Timecode.parse("10:00:00:00", FrameRate.R25);
                        long began = loop.now();
                        for (int i = 0; i < 40; i++) {
                            port.quarterFrame(MidiSignal.piece(from.plus(i / 8 * 2L), i % 8), began + i * 10_000_000L);
                        }
                        port.device(DeviceState.DENIED, "no permission");
                        port.ended(began + 400_000_000L);
                        port.close();
                        switchboard.stop("over");
                    })
                    .sync();
        } finally {
            loop.close();
        }
        assertThat(noted)
                .containsSubsequence(
                        "sync locked",
                        "mark found",
                        "fault MIDI timecode: no permission",
                        "sync freewheeling",
                        "stop ");
    }

    private record Notes(List<String> to) implements Records {
        @Override
        public long append(long mono, long frame, Happening what) {
            String said = what.kind() == Kind.SYNC
                    ? what.text(Key.STATE)
                    : what.kind() == Kind.MARK ? what.text(Key.MARK) : what.text(Key.TEXT);
            to.add(what.kind().word() + " " + said);
            return to.size();
        }

        @Override
        public void flush() {
            // nothing waits
        }
    }
}
