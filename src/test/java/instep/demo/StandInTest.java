package instep.demo;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;

/** Each stand-in against somebody else's client. */
class StandInTest {
    @Test
    void mixerAnswersACutAndTellsEverybodyWhatIsOnAir() throws IOException {
        try (StandInMixer mixer = StandInMixer.open();
                Socket desk = connect(mixer);
                Socket watcher = connect(mixer)) {
            BufferedReader heard = reader(desk);
            say(desk, "HELLO\r\n");
            assertThat(heard.readLine()).isEqualTo("ERR HELLO");
            say(watcher, "WHO\r\n");
            assertThat(reader(watcher).readLine()).isEqualTo("ERR WHO"); // so it is known to the mixer now

            say(desk, "CUT 2\r\n");

            assertThat(heard.readLine()).isEqualTo("OK CUT 2");
            assertThat(heard.readLine()).isEqualTo("ONAIR 2");
            assertThat(reader(watcher).readLine()).isEqualTo("ONAIR 2");
            assertThat(mixer.received()).extracting(StandIn.Heard::text).containsExactly("HELLO", "WHO", "CUT 2");
            assertThat(mixer.received()).extracting(StandIn.Heard::nanos).isSorted();
        }
    }

    @Test
    void mixerDropsItsConnectionsWhenItIsSwitchedOff() throws IOException {
        StandInMixer mixer = StandInMixer.open();
        try (Socket desk = connect(mixer)) {
            say(desk, "CUT 1\r\n");
            BufferedReader heard = reader(desk);
            assertThat(heard.readLine()).isEqualTo("OK CUT 1");
            assertThat(heard.readLine()).isEqualTo("ONAIR 1");

            mixer.close();

            assertThat(heard.readLine()).isNull();
        }
    }

    @Test
    void recorderTakesItsModeAndTellsIt() throws IOException, InterruptedException {
        try (StandInRecorder recorder = StandInRecorder.open()) {
            assertThat(ask(recorder, "PUT", "{\"mode\": \"record\", \"take\": 7}"))
                    .isEqualTo("200 {\"mode\":\"record\",\"take\":\"7\"}");
            assertThat(ask(recorder, "GET", "")).isEqualTo("200 {\"mode\":\"record\",\"take\":\"7\"}");
            assertThat(ask(recorder, "PUT", "{\"mode\": \"fly\"}"))
                    .isEqualTo("400 {\"error\":\"mode is record or stop\"}");
            assertThat(ask(recorder, "PUT", "{")).isEqualTo("400 {\"error\":\"that is no JSON object\"}");
            assertThat(ask(recorder, "POST", "x")).isEqualTo("405 {\"error\":\"only GET and PUT\"}");
            assertThat(recorder.received())
                    .extracting(StandIn.Heard::text)
                    .startsWith("PUT /transport {\"mode\": \"record\", \"take\": 7}", "GET /transport");
        }
    }

    /** liblo's sender (Debian package liblo-tools). */
    @Test
    void lampShowsWhatLibloSends() throws IOException, InterruptedException {
        try (StandInLamp lamp = StandInLamp.open()) {
            Process sender = new ProcessBuilder(
                            "oscsend",
                            "127.0.0.1",
                            Integer.toString(lamp.port()),
                            "/lamp/rec",
                            "ifs",
                            "1",
                            "0.5",
                            "take 7")
                    .inheritIO()
                    .start();
            assertThat(sender.waitFor())
                    .as("oscsend of the Debian package liblo-tools")
                    .isZero();

            await().until(() -> !lamp.received().isEmpty());

            assertThat(lamp.shown()).isEqualTo("/lamp/rec 1 0.5 \"take 7\"");
        }
    }

    private static String ask(StandInRecorder recorder, String method, String body)
            throws IOException, InterruptedException {
        HttpRequest request = HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + recorder.port() + "/transport"))
                .method(method, HttpRequest.BodyPublishers.ofString(body))
                .build();
        HttpResponse<String> response = HttpClient.newHttpClient().send(request, HttpResponse.BodyHandlers.ofString());
        return response.statusCode() + " " + response.body();
    }

    private static Socket connect(StandIn device) throws IOException {
        Socket socket = new Socket(InetAddress.getLoopbackAddress(), device.port());
        socket.setSoTimeout(10_000);
        return socket;
    }

    private static BufferedReader reader(Socket socket) throws IOException {
        return new BufferedReader(new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8));
    }

    private static void say(Socket socket, String text) throws IOException {
        OutputStream out = socket.getOutputStream();
        out.write(text.getBytes(StandardCharsets.UTF_8));
        out.flush();
    }
}
