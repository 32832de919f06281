package instep.daemon;

import static org.awaitility.Awaitility.await;

import instep.demo.StandIn;
import instep.demo.StandInLamp;
import instep.demo.StandInRecorder;
import java.io.IOException;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.HttpURLConnection;
import java.net.InetAddress;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The gear of a soak: a mixer of lines that is always there and says what it shows; and another, a recorder over HTTP and a lamp over OSC, which are switched off and on. What they hear is kept apart by
 * the runs of the daemon.
 */
final class SoakGear implements AutoCloseable {
    static final String MIXER = "mixer";
    static final String SECOND = "second";
    static final String RECORDER = "recorder";
    static final String LAMP = "lamp";

    private static final Duration PATIENCE = Duration.ofSeconds(60);
    private static final String BARRIER = "/barrier";

    private final LineSink mixer = LineSink.open(SoakGear::answer);
    private final LineSink second = LineSink.open();
    private StandInRecorder recorder = StandInRecorder.open();
    private StandInLamp lamp = StandInLamp.open();
    /** What recorder and lamp heard before they were switched off. */
    private final List<String> byRecorder = new ArrayList<>();

    private final List<String> byLamp = new ArrayList<>();
    /** What was heard by each in the runs of the daemon that are over. */
    private final List<Map<String, List<String>>> runs = new ArrayList<>();

    SoakGear() throws IOException {}

    private static Optional<String> answer(String line) {
        return line.startsWith("CUT ") ? Optional.of("ONAIR " + line.substring(4)) : Optional.empty();
    }

    /** A configuration whose gear is at 9701 to 9704, with the gear where it is. */
    String placed(String yaml) {
        return yaml.replace(":9701", ":" + mixer.port())
                .replace(":9702", ":" + second.port())
                .replace(":9703", ":" + recorder.port())
                .replace(":9704", ":" + lamp.port());
    }

    LineSink mixer() {
        return mixer;
    }

    /** The angle that the mixer was told last in this run; empty if none. */
    Optional<Integer> lastCut() {
        return mixer.last("CUT ").map(line -> Integer.valueOf(line.substring(4)));
    }

    /** Whether the recorder was told that this take is over. */
    boolean hasStopped(long take) {
        String stop = "\"stop\",\"take\":\"" + take + "\"";
        return recorder.received().stream().anyMatch(heard -> heard.text().contains(stop));
    }

    /** Somebody cuts at the mixer itself. */
    void cutAtMixer(int angle) throws IOException {
        mixer.say("ONAIR " + angle);
    }

    void secondOff() throws IOException, InterruptedException {
        second.off();
    }

    void secondOffAndOn() throws IOException, InterruptedException {
        second.off();
        second.on();
    }

    void recorderOffAndOn() {
        int port = recorder.port();
        recorder.close();
        heard(recorder, byRecorder);
        await().atMost(PATIENCE).ignoreExceptions().until(() -> {
            recorder = StandInRecorder.open(port);
            return true;
        });
    }

    void lampOffAndOn() {
        int port = lamp.port();
        lamp.close();
        heard(lamp, byLamp);
        await().atMost(PATIENCE).ignoreExceptions().until(() -> {
            lamp = StandInLamp.open(port);
            return true;
        });
    }

    private static void heard(StandIn by, List<String> all) {
        by.received().stream()
                .map(StandIn.Heard::text)
                .filter(text -> !text.contains(BARRIER))
                .forEach(all::add);
    }

    /** A run of the daemon is over: all that it had sent is heard, and counts to that run. */
    void runIsOver() throws IOException {
        await().atMost(PATIENCE).until(() -> mixer.isAlone() && second.isAlone());
        // What came before is answered before the second of two requests, as it had been seen before the first was.
        ask(recorder.port());
        ask(recorder.port());
        byte[] osc = (BARRIER + "\0\0\0\0,\0\0\0").getBytes(StandardCharsets.US_ASCII);
        try (DatagramSocket socket = new DatagramSocket()) {
            socket.send(new DatagramPacket(osc, osc.length, InetAddress.getLoopbackAddress(), lamp.port()));
        }
        await().atMost(PATIENCE).until(() -> lamp.shown().contains(BARRIER));
        runs.add(heardInThisRun());
    }

    private static void ask(int port) throws IOException {
        HttpURLConnection asked = (HttpURLConnection)
                URI.create("http://127.0.0.1:" + port + BARRIER).toURL().openConnection();
        asked.getResponseCode();
        asked.disconnect();
    }

    private Map<String, List<String>> heardInThisRun() {
        recorderOffAndOn();
        lampOffAndOn();
        Map<String, List<String>> heard = new LinkedHashMap<>();
        heard.put(MIXER, mixer.take());
        heard.put(SECOND, second.take());
        heard.put(RECORDER, List.copyOf(byRecorder));
        heard.put(LAMP, List.copyOf(byLamp));
        byRecorder.clear();
        byLamp.clear();
        return heard;
    }

    /** What each has heard since this was asked last, a map for each run of the daemon; the last one goes on. */
    List<Map<String, List<String>>> heard() {
        List<Map<String, List<String>>> all = new ArrayList<>(runs);
        all.add(heardInThisRun());
        runs.clear();
        return all;
    }

    @Override
    public void close() throws IOException {
        mixer.close();
        second.close();
        recorder.close();
        lamp.close();
    }
}
