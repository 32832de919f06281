package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import instep.input.NetPort.Carrier;
import instep.input.net.Prefix;
import io.netty.channel.IoEventLoop;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.epoll.EpollIoHandler;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Requests are the JDK's client's; what it does not send is written out as RFC 9112 says. Statuses are those of RFC 9110, section 15. */
@Timeout(60)
class PostDoorTest {
    /** So many milliseconds; a read that waits for longer outlives the limit of the test. */
    private static final int HANGS = 50_000;

    private static final NetContact LEFT = NetContact.named(0, "left");
    private static final HttpClient CLIENT =
            HttpClient.newBuilder().version(HttpClient.Version.HTTP_1_1).build();

    private static HttpRequest.Builder to(DoorRig rig, String path) {
        return HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + rig.port + path));
    }

    private static HttpResponse<String> post(DoorRig rig, String path, String body) throws Exception {
        return CLIENT.send(to(rig, path).POST(BodyPublishers.ofString(body)).build(), BodyHandlers.ofString());
    }

    private static DoorRig open(NetPort port) throws Exception {
        DoorRig rig = new DoorRig(port, LEFT);
        rig.opened("HTTP");
        return rig;
    }

    /** All that comes back until the other side closes. */
    private static String raw(DoorRig rig, String request) throws Exception {
        try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), rig.port)) {
            socket.setSoTimeout(HANGS);
            socket.getOutputStream().write(request.getBytes(StandardCharsets.ISO_8859_1));
            return new String(socket.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        }
    }

    @Test
    void closesOpensAndSteps() throws Exception {
        try (DoorRig rig = open(DoorRig.port(Carrier.HTTP))) {
            assertThat(post(rig, "/contacts/left", "down").statusCode()).isEqualTo(204);
            assertThat(post(rig, "/contacts/left", "up\n").statusCode()).isEqualTo(204);
            assertThat(post(rig, "/contacts/l%65ft", "").statusCode()).isEqualTo(204);
            rig.told.expect("edge 0 closed", "edge 0 open", "edge 0 closed", "edge 0 open");
        }
    }

    @Test
    void saysWhatIsWrong() throws Exception {
        try (DoorRig rig = open(DoorRig.port(Carrier.HTTP))) {
            assertThat(post(rig, "/contacts/right", "down").body())
                    .isEqualTo("no such contact; expected /contacts/ and one of left\n");
            assertThat(post(rig, "/contacts/right", "down").statusCode()).isEqualTo(404);
            assertThat(post(rig, "/", "down").statusCode()).isEqualTo(404);
            assertThat(post(rig, "/contacts/left", "sideways").statusCode()).isEqualTo(400);
            assertThat(post(rig, "/contacts/left", "x".repeat(5_000)).statusCode())
                    .isEqualTo(413);
            HttpResponse<String> got =
                    CLIENT.send(to(rig, "/contacts/left").GET().build(), BodyHandlers.ofString());
            assertThat(got.statusCode()).isEqualTo(405);
            assertThat(got.headers().firstValue("Allow")).contains("POST");
            rig.told.expectNothingMore();
        }
    }

    /** A browser sends Origin with every POST of a page of another site (Fetch, section 3.2), and the name that was typed as Host. */
    @Test
    void refusesWhatAWebPageMightSend() throws Exception {
        try (DoorRig rig = open(DoorRig.port(Carrier.HTTP))) {
            HttpRequest page = to(rig, "/contacts/left")
                    .header("Origin", "http://studio.example")
                    .POST(BodyPublishers.ofString(""))
                    .build();
            assertThat(CLIENT.send(page, BodyHandlers.ofString()).statusCode()).isEqualTo(403);
            String start = "POST /contacts/left HTTP/1.1\r\nContent-Length: 0\r\nConnection: close\r\n";
            assertThat(raw(rig, start + "Host: studio.example\r\n\r\n")).startsWith("HTTP/1.1 403");
            assertThat(raw(rig, start + "\r\n")).startsWith("HTTP/1.1 400");
            assertThat(raw(rig, "nonsense\r\n\r\n")).startsWith("HTTP/1.1 400");
            rig.told.expectNothingMore();
            assertThat(raw(rig, start + "Host: localhost:" + rig.port + "\r\n\r\n"))
                    .startsWith("HTTP/1.1 204");
            rig.told.expect("edge 0 closed", "edge 0 open");
        }
    }

    @ParameterizedTest
    @CsvSource({
        "localhost, true",
        "LOCALHOST:9102, true",
        "localhost:9103, false",
        "127.0.0.1:9102, true",
        "127.0.0.1, true",
        "192.0.2.5:9102, false",
        "127.0.0.1.studio.example, false",
        "studio.example:9102, false",
        "'', false",
        ":9102, false"
    })
    void knowsItsOwnAddress(String host, boolean ours) {
        assertThat(PostDoor.isOurs(host, new InetSocketAddress(InetAddress.getLoopbackAddress(), 9102)))
                .isEqualTo(ours);
    }

    /** Sixteen who hold a connection open and ask for nothing would keep everybody else out. */
    @Test
    void sendsAwayWhoAsksForNothing() throws Exception {
        MultiThreadIoEventLoopGroup group = new MultiThreadIoEventLoopGroup(1, EpollIoHandler.newFactory());
        IoEventLoop loop = group.next();
        NetPort port = DoorRig.port(Carrier.HTTP);
        Recorder told = new Recorder();
        PedalSettings.Network settings = new PedalSettings.Network("stage", port, List.of(LEFT));
        Door door = new Door(settings, loop, Runnable::run, new Seat(settings, 0, told), 50);
        loop.submit(door::open).syncUninterruptibly();
        assertThat(told.next()).startsWith("device 0 UP");
        try (Socket idle = new Socket(
                        InetAddress.getLoopbackAddress(), port.address().getPort());
                Socket half = new Socket(
                        InetAddress.getLoopbackAddress(), port.address().getPort())) {
            idle.setSoTimeout(HANGS);
            half.setSoTimeout(HANGS);
            half.getOutputStream()
                    .write("POST /contacts/left HTTP/1.1\r\nHost: loc".getBytes(StandardCharsets.US_ASCII));
            assertThat(idle.getInputStream().read()).isEqualTo(-1);
            assertThat(half.getInputStream().read()).isEqualTo(-1);
        } finally {
            loop.submit(door::close).syncUninterruptibly();
            group.shutdownGracefully(0, 1, TimeUnit.SECONDS).syncUninterruptibly();
        }
        told.expectNothingMore();
    }

    /** 192.0.2.0/24 is for documentation (RFC 5737): the loopback is not of it. */
    @Test
    void hearsNobodyWhoIsNotAllowed() throws Exception {
        List<Prefix> from = List.of(Prefix.parse("192.0.2.0/24").orElseThrow());
        try (DoorRig rig = open(DoorRig.port(Carrier.HTTP, from, 0, null));
                Socket peer = new Socket(InetAddress.getLoopbackAddress(), rig.port)) {
            peer.setSoTimeout(HANGS);
            assertThat(peer.getInputStream().read()).isEqualTo(-1);
            rig.told.expect("odd 0: stage: 127.0.0.1 is not among those that may send (from:) and is not heard");
            rig.told.expectNothingMore();
        }
    }

    /** RFC 6750, section 2.1 and 3. */
    @Test
    void asksForTheToken() throws Exception {
        try (DoorRig rig = open(DoorRig.port(Carrier.HTTP, List.of(), 0, () -> "wet clay"))) {
            HttpResponse<String> without = post(rig, "/contacts/left", "");
            assertThat(without.statusCode()).isEqualTo(401);
            assertThat(without.headers().firstValue("WWW-Authenticate")).contains("Bearer");
            HttpRequest.Builder wrong = to(rig, "/contacts/left").header("Authorization", "Bearer dry clay");
            HttpRequest.Builder right = to(rig, "/contacts/left").header("Authorization", "bearer wet clay");
            assertThat(CLIENT.send(wrong.POST(BodyPublishers.noBody()).build(), BodyHandlers.ofString())
                            .statusCode())
                    .isEqualTo(401);
            rig.told.expectNothingMore();
            assertThat(CLIENT.send(right.POST(BodyPublishers.noBody()).build(), BodyHandlers.ofString())
                            .statusCode())
                    .isEqualTo(204);
        }
    }

    @Test
    void isDeniedWithoutItsToken() throws Exception {
        NetPort port = DoorRig.port(Carrier.HTTP, List.of(), 0, () -> {
            throw new IOException("there is no secret studio");
        });
        try (DoorRig rig = new DoorRig(port, LEFT)) {
            rig.told.expect("device 0 DENIED: there is no secret studio");
        }
    }
}
