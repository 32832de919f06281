package instep.daemon;

import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.gear.GearSettings;
import instep.input.Devices;
import instep.input.KeyPipe;
import instep.journal.Happening;
import instep.journal.Records;
import java.io.IOException;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;

/**
 * Presses that nobody makes, before anybody can: from a pipe through a second switchboard of its own to sockets of its own, on the real loop. A first
 * press would otherwise take a hundred times as long as the next, since it is then that Java loads and compiles what lies on its way. Nothing
 * of it reaches a device, gear, the journal or the event log, and nothing is left of it.
 */
final class Warmup {
    private static final int PRESSES = 300;
    /** A slow machine gets by with fewer. */
    private static final long MOST_NANOS = TimeUnit.MILLISECONDS.toNanos(250);

    /** Stamps run that far ahead of time, so that nothing has to be waited for. */
    private static final long AHEAD_NANOS = TimeUnit.HOURS.toNanos(1);

    /** Between two edges, by their stamps: longer than the debounce window, shorter than a hold. */
    private static final long STEP_NANOS = TimeUnit.MILLISECONDS.toNanos(10);

    /** Longer than a hold takes, and than a second tap is waited for. */
    private static final long PAUSE_NANOS = TimeUnit.MILLISECONDS.toNanos(50);

    private static final int KEY_A = 30;
    private static final int KEY_B = 48;
    /** In a group of three key events, where the second's value stands: read as a report, its lowest bit is a contact. */
    private static final int VALUE_BYTE = 44;

    private static final byte[] ANSWER = "HTTP/1.1 204 No Content\r\n\r\n".getBytes(StandardCharsets.US_ASCII);
    private static final byte[] CONFIRMATION = "one\r\n".getBytes(StandardCharsets.US_ASCII);
    /** What each cut says, with the line end. */
    private static final int LINE_BYTES = 5;

    private static final String CONFIGURATION = """
            instep: 1
            timecode: { rate: 25, source: time-of-day }
            gear:
              line: { tcp: "127.0.0.1:9", stale-after: 2s, replies: [{ line: "^(?<angle>[a-z]+)$", on-air: "{angle}" }] }
              request: { http: "http://127.0.0.1:9" }
              datagram: { osc: "udp 127.0.0.1:9" }
            angles:
              one: { reel: ONE, cut: { line: ONE } }
              two: { reel: TWO, cut: [{ line: TWO }, { datagram: { osc: /two } }] }
            messages:
              roll:
                - request: { put: /roll, json: { take: "{take}" } }
                - datagram: { osc: /roll, args: [1, 0.5, "{take}"] }
              stop: { line: END }
            pedals:
              keys: { match: { usb: "0000:0000" }, contacts: { left: KEY_A, right: KEY_B } }
              bits: { match: { usb: "0000:0001" }, contacts: { only: { byte: %d, bit: 0 } } }
            timing: { debounce: 8ms, hold: 15ms, double-tap: 30ms }
            machine:
              initial: standby
              states:
                standby: { on: { right.hold: rolling, only.press: { mark: read } } }
                rolling:
                  rolling: true
                  angle: one
                  onentry: { send: roll }
                  onexit: { send: stop }
                  on:
                    left.press: { angle: two, until: left.release }
                    right.tap: { mark: tapped }
                    right.double-tap: { mark: tapped }
                    right.hold: standby
            """.formatted(VALUE_BYTE);

    private final Loop loop;
    private final FarEnd far;
    private final Switchboard switchboard;
    private final Devices devices;
    private long stamp;

    private Warmup(Loop loop, FarEnd far) throws ConfigException {
        this.loop = loop;
        this.far = far;
        Settings settings = settings(far);
        Chronicle chronicle = Chronicle.of(new Forgotten(), settings.timecode(), new SystemTime(), loop.now());
        switchboard = new Switchboard(settings, chronicle, loop);
        devices = new Devices(loop.eventLoop(), settings.pedals(), switchboard.pedals());
    }

    /**
     * Warms the way of a press on a loop that nothing else uses yet; from another thread. Returns why that failed, if it did. A loop that
     * cannot read devices is left as it is.
     */
    static Optional<String> run(Loop loop) {
        if (!loop.readsDevices()) {
            return Optional.empty();
        }
        try (FarEnd far = FarEnd.open()) {
            new Warmup(loop, far).run();
            return Optional.empty();
        } catch (IOException | ConfigException | RuntimeException | LinkageError e) {
            String why = e.getMessage() == null ? e.toString() : e.getMessage();
            return Optional.of(
                    "the first cut may come a tenth of a second late: rehearsing it within this machine failed (" + why
                            + ")");
        }
    }

    private static Settings settings(FarEnd far) throws ConfigException {
        Settings settings = ConfigReader.parse("rehearsal", CONFIGURATION);
        List<GearSettings> gear = settings.gear();
        return settings.withGear(List.of(
                gear.get(0).at(far.host(), far.linePort()),
                gear.get(1).at(far.host(), far.requestPort()),
                gear.get(2).at(far.host(), far.datagramPort())));
    }

    private void run() throws IOException {
        try (KeyPipe keys = KeyPipe.open();
                KeyPipe reports = KeyPipe.open();
                Devices given = devices) {
            given.attach(0, keys.readEnd());
            given.attach(1, reports.readEnd());
            onLoop(() -> switchboard.start(0, loop.now(), 0));
            try (Socket lines = far.acceptLines();
                    Socket requests = far.acceptRequests()) {
                reports.key(0, true, 0);
                rehearse(keys, lines, requests);
            }
        } finally {
            onLoop(() -> {
                switchboard.gear().crew().close();
                loop.dropTimer();
            });
        }
    }

    private void rehearse(KeyPipe keys, Socket lines, Socket requests) throws IOException {
        // This hold is real: the timer makes it one.
        keys.key(KEY_B, true, loop.now());
        far.hear(lines, LINE_BYTES);
        lines.getOutputStream().write(CONFIRMATION);
        far.hearSome(requests);
        requests.getOutputStream().write(ANSWER);
        stamp = loop.now() + AHEAD_NANOS;
        edge(keys, KEY_B, false);
        long end = System.nanoTime() + MOST_NANOS;
        for (int i = 0; i < PRESSES && System.nanoTime() < end; i++) {
            edge(keys, KEY_A, true);
            far.hear(lines, LINE_BYTES);
            edge(keys, KEY_A, false);
            far.hear(lines, LINE_BYTES);
        }
        tapTwice(keys);
        edge(keys, KEY_B, true);
        stamp += PAUSE_NANOS;
        edge(keys, KEY_B, false);
        far.hear(lines, LINE_BYTES);
    }

    private void tapTwice(KeyPipe keys) throws IOException {
        for (int i = 0; i < 2; i++) {
            edge(keys, KEY_B, true);
            edge(keys, KEY_B, false);
        }
        stamp += PAUSE_NANOS;
    }

    private void edge(KeyPipe keys, int code, boolean closed) throws IOException {
        stamp += STEP_NANOS;
        keys.key(code, closed, stamp);
    }

    private void onLoop(Runnable task) {
        CompletableFuture.runAsync(task, loop.eventLoop()).join();
    }

    /** Numbers the records and keeps none. */
    private static final class Forgotten implements Records {
        private long seq;

        @Override
        public long append(long mono, long frame, Happening what) {
            return ++seq;
        }

        @Override
        public void flush() {
            // There is nobody to wake.
        }
    }
}
