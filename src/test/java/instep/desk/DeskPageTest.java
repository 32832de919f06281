package instep.desk;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.jr.ob.JSON;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.NetworkInterface;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.URI;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicReference;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The page over real sockets. What headers must say: RFC 9110, 9112, 6265, 6454, 6797 where noted, Content Security Policy Level 3. */
class DeskPageTest {
    private final Studio studio = new Studio();
    private final List<String> faults = new CopyOnWriteArrayList<>();
    private DeskPage page = Studio.page(Studio.OPEN, studio, faults::add);

    @AfterEach
    void close() {
        page.close();
    }

    @ParameterizedTest
    @ValueSource(strings = {"/", "/glance", "/desk.css", "/desk.js", "/enter.js", "/metrics", "/health", "/nothing"})
    void letsABrowserDoNothingElseWithWhatItShows(String path) throws Exception {
        Visitor.Answer answer = Visitor.get(page, path);
        String policy = answer.header("content-security-policy");
        assertThat(policy)
                .contains("default-src 'none'", "script-src 'self'", "style-src 'self'", "form-action 'self'");
        assertThat(policy).contains("frame-ancestors 'none'", "base-uri 'none'").doesNotContain("unsafe", "*", "data:");
        assertThat(answer.header("x-content-type-options")).isEqualTo("nosniff");
        assertThat(answer.header("referrer-policy")).isEqualTo("same-origin");
        assertThat(answer.header("cache-control")).isEqualTo("no-store");
        assertThat(answer.headers().keySet()).noneMatch(name -> name.startsWith("access-control"));
    }

    @ParameterizedTest
    @ValueSource(strings = {"/", "/glance"})
    void hasNothingInItsPagesThatThePolicyForbids(String path) throws Exception {
        Visitor.Answer answer = Visitor.get(page, path);
        assertThat(answer.status()).isEqualTo(200);
        assertThat(answer.header("content-type")).isEqualTo("text/html; charset=utf-8");
        assertThat(answer.body()).doesNotContain("<style", " style=", " onclick", "javascript:", "http://", "https://");
        assertThat(answer.body()).doesNotContainPattern("<script(?! src=\"/desk.js\" defer></script>)");
    }

    @ParameterizedTest
    @ValueSource(
            strings = {"localhost", "LOCALHOST:1", "127.0.0.1", "127.0.0.1:9999", "desk.example", "Desk.Example:80"})
    void answersToItsAddressAndToItsNames(String host) throws Exception {
        assertThat(Visitor.get(page, "/", "Host: " + host).status()).isEqualTo(200);
    }

    /** DNS rebinding: another site's name is made to lead here, and its page may then read what is answered. */
    @ParameterizedTest
    @ValueSource(
            strings = {
                "evil.example",
                "127.0.0.1.evil.example",
                "localhost.evil.example",
                "192.0.2.7",
                "[::1]",
                "",
                "127.0.0.2",
                "desk.example.evil.example",
                "0x7f000001",
                "127.1"
            })
    void refusesToBeCalledAnythingElse(String host) throws Exception {
        assertThat(Visitor.get(page, "/events", "Host: " + host).status()).isEqualTo(403);
    }

    /** RFC 9112, section 3.2.2: a server must accept the absolute form, and go by its host and not by Host. */
    @ParameterizedTest
    @CsvSource({
        "http://127.0.0.1:9999/health, evil.example, 200, all is well",
        "HTTP://LocalHost/health?now=1, evil.example, 200, all is well",
        "https://desk.example/health, evil.example, 200, all is well",
        "http://127.0.0.1, evil.example, 200, <html",
        "http://127.0.0.1?x=/nothing, evil.example, 200, <html",
        "http://127.0.0.1/nothing, 127.0.0.1, 404, there is no such page here",
        "http://evil.example/health, 127.0.0.1, 403, this desk is not called that",
        "http://127.0.0.1.evil.example:80/health, 127.0.0.1, 403, this desk is not called that",
        "http://127.0.0.1:80@evil.example/health, 127.0.0.1, 404, there is no such page here",
        "http:///health, 127.0.0.1, 404, there is no such page here"
    })
    void goesByTheHostInTheTargetWhereThereIsOne(String target, String host, int status, String words)
            throws Exception {
        Visitor.Answer answer = Visitor.get(page, target, "Host: " + host);
        assertThat(answer.status()).isEqualTo(status);
        assertThat(answer.body()).contains(words);
    }

    /** Whoever comes in its last moment would else keep it, in a program that goes on. */
    @Test
    void leavesItsPortWhenItIsClosedHoweverManyCome() throws Exception {
        AtomicBoolean over = new AtomicBoolean();
        AtomicReference<InetSocketAddress> at = new AtomicReference<>();
        List<Thread> visitors = new ArrayList<>();
        for (int i = 0; i < 4; i++) {
            Thread visitor = new Thread(() -> {
                while (!over.get()) {
                    try (Socket socket = new Socket()) {
                        socket.connect(Objects.requireNonNullElse(at.get(), new InetSocketAddress(0)), 1_000);
                    } catch (IOException e) {
                        Thread.onSpinWait(); // it is closed just now
                    }
                }
            });
            visitor.start();
            visitors.add(visitor);
        }
        try {
            for (int i = 0; i < 50; i++) {
                DeskSettings free =
                        new DeskSettings(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), List.of(), null);
                DeskPage closing = DeskPage.open(free, studio, new DeskPage.Told(text -> {}, text -> {}));
                at.set(new InetSocketAddress(
                        InetAddress.getLoopbackAddress(),
                        closing.address().orElseThrow().getPort()));
                closing.close();
                try (ServerSocket next = new ServerSocket()) {
                    next.setReuseAddress(true);
                    next.bind(at.get());
                }
            }
        } finally {
            over.set(true);
            for (Thread visitor : visitors) {
                visitor.join();
            }
        }
    }

    /** A browser's origin is held against the host that was asked, whichever way that was said. */
    @Test
    void takesNoOtherOriginForTheHostInTheTarget() throws Exception {
        String target = "http://localhost/health";
        assertThat(Visitor.get(page, target, "Host: 127.0.0.1", "Origin: http://localhost")
                        .status())
                .isEqualTo(200);
        assertThat(Visitor.get(page, target, "Host: 127.0.0.1", "Origin: http://127.0.0.1")
                        .status())
                .isEqualTo(403);
    }

    @ParameterizedTest
    @ValueSource(strings = {"http://evil.example", "null", "http://127.0.0.1", "http://localhost:1", "file://"})
    void refusesPagesOfOtherSites(String origin) throws Exception {
        for (String path : List.of("/", "/events", "/metrics", "/health")) {
            assertThat(Visitor.get(page, path, "Origin: " + origin).status()).isEqualTo(403);
        }
        assertThat(Visitor.post(page, "/acknowledge", "fault=1", "Origin: " + origin)
                        .status())
                .isEqualTo(403);
    }

    /** Fetch Metadata Request Headers (W3C): a script or picture element of another site sends no Origin, but says where it comes from. */
    @Test
    void refusesToBeAPartOfAnotherSite() throws Exception {
        assertThat(Visitor.get(page, "/events", "Sec-Fetch-Site: cross-site", "Sec-Fetch-Mode: no-cors")
                        .status())
                .isEqualTo(403);
        assertThat(Visitor.get(
                                page,
                                "/",
                                "Sec-Fetch-Site: cross-site",
                                "Sec-Fetch-Mode: navigate",
                                "Sec-Fetch-Dest: iframe")
                        .status())
                .isEqualTo(403);
        assertThat(Visitor.get(
                                page,
                                "/",
                                "Sec-Fetch-Site: cross-site",
                                "Sec-Fetch-Mode: navigate",
                                "Sec-Fetch-Dest: document")
                        .status())
                .isEqualTo(200);
        assertThat(Visitor.get(page, "/events", "Sec-Fetch-Site: same-site").status())
                .isEqualTo(403);
    }

    @Test
    void changesNothingButThatAFaultIsAcknowledged() throws Exception {
        studio.shows(Studio.snapshot("wheel", List.of(Studio.fault(7, "mixer cannot be reached", true))));
        String origin = "Origin: http://" + Visitor.host(page);
        try (Visitor viewer = Visitor.at(page)) {
            viewer.follow(page);
            assertThat(viewer.event("state")).contains("mixer cannot be reached");
            assertThat(Visitor.get(page, "/acknowledge").status()).isEqualTo(405);
            assertThat(Visitor.post(page, "/", "x").status()).isEqualTo(405);
            assertThat(Visitor.post(page, "/acknowledge", "fault=7").status()).isEqualTo(403);
            assertThat(Visitor.post(page, "/acknowledge", "fault=8", origin).status())
                    .isEqualTo(404);
            assertThat(Visitor.post(page, "/acknowledge", "fault=7", origin).status())
                    .isEqualTo(200);
            assertThat(viewer.event("state")).contains("mixer cannot be reached"); // of number 8, which there is not
            assertThat(viewer.event("state")).doesNotContain("mixer cannot be reached");
        }
        // It is still so.
        assertThat(Visitor.get(page, "/health").body()).contains("mixer cannot be reached: look at it");
    }

    @Test
    void tellsAViewerAllAtOnceThenWhatIsNewAndBeats() throws Exception {
        try (Visitor viewer = Visitor.at(page)) {
            viewer.follow(page);
            Map<String, Object> state = JSON.std.mapFrom(viewer.event("state"));
            assertThat(state.get("onAir")).isEqualTo(Map.of("angle", "wheel", "words", "says mixer", "doubt", ""));
            // Two seconds after frame 900000 at 25 frames a second.
            assertThat(state.get("clock")).isEqualTo(Map.of("frame", 900_050, "into", 0.0, "take", 2_000.0));
            assertThat(viewer.event("beat")).contains("900050").doesNotContain("wheel");
            studio.shows(Studio.snapshot("glaze", List.of()));
            page.news();
            assertThat(viewer.event("state")).contains("glaze");
            studio.journalIs("no space left");
            // Nobody says so: the beat looks.
            assertThat(viewer.event("state")).contains("the journal cannot be written", "no space left");
        }
    }

    @Test
    void saysInWordsWhetherAllIsWell() throws Exception {
        assertThat(Visitor.get(page, "/health").status()).isEqualTo(200);
        studio.shows(Studio.snapshot("wheel", List.of(Studio.fault(1, "it has happened", false))));
        assertThat(Visitor.get(page, "/health").status()).isEqualTo(200);
        studio.shows(Studio.snapshot("wheel", List.of(Studio.fault(1, "mixer cannot be reached", true))));
        studio.journalIs("no space left");
        Visitor.Answer answer = Visitor.get(page, "/health");
        assertThat(answer.status()).isEqualTo(503);
        assertThat(answer.body())
                .isEqualTo("the journal cannot be written: no space left\nmixer cannot be reached: look at it\n");
    }

    /** The studio's time is two seconds after nought, and does not pass. */
    @Test
    void whatIsShownWhileTheDiskOrTheDeskStandsStillIsSaidToBeOld() throws Exception {
        try (Visitor viewer = Visitor.at(page)) {
            viewer.follow(page);
            assertThat(viewer.event("state")).doesNotContain("disk", "stands still");
            studio.waitsSince(0);
            assertThat(viewer.event("beat")).doesNotContain("disk");
            studio.waitsSince(-1);
            assertThat(viewer.event("state")).contains("the disk keeps the journal waiting");
            studio.standsStillFor(2 * Studio.SECOND + 1);
            assertThat(viewer.event("state")).contains("the desk stands still", "no pedal is heard");
        }
        assertThat(Visitor.get(page, "/health").body())
                .startsWith("the desk stands still: ")
                .contains("\nthe disk keeps the journal waiting: ");
    }

    @Test
    void refusesWhatIsTooLong() throws Exception {
        assertThat(Visitor.get(page, "/" + "x".repeat(DeskPage.LINE_BYTES)).status())
                .isEqualTo(414);
        assertThat(Visitor.get(page, "/", "X-Long: " + "x".repeat(DeskPage.HEADER_BYTES))
                        .status())
                .isEqualTo(431);
        String[] many = new String[FewHeaders.MOST];
        Arrays.fill(many, "a: b");
        assertThat(Visitor.get(page, "/", many).status()).isEqualTo(431);
        assertThat(Visitor.get(page, "/", Arrays.copyOf(many, FewHeaders.MOST - 2))
                        .status())
                .isEqualTo(200);
        assertThat(Visitor.post(page, "/acknowledge", "x".repeat(Visit.MOST_BODY_BYTES + 1))
                        .status())
                .isEqualTo(413);
    }

    @Test
    @SuppressWarnings("try") // Closed early is what frees the port.
    void saysWhoseFaultItIsWhenItsPortIsTakenAndComesWhenItIsFree() throws Exception {
        ServerSocket other = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
        try {
            DeskSettings taken = new DeskSettings(
                    new InetSocketAddress(InetAddress.getLoopbackAddress(), other.getLocalPort()), List.of(), null);
            List<String> notes = new CopyOnWriteArrayList<>();
            try (DeskPage second = DeskPage.open(taken, studio, new DeskPage.Told(faults::add, notes::add))) {
                assertThat(second.address()).isEmpty();
                assertThat(faults)
                        .containsExactly("the desk page is not shown: 127.0.0.1:" + other.getLocalPort()
                                + " cannot be listened at (another program listens there; end it, or give desk another"
                                + " port). All else goes on; it is tried again every 5 s");
                other.close();
                await().atMost(30, TimeUnit.SECONDS)
                        .until(() -> second.address().isPresent());
                assertThat(Visitor.get(second, "/").status()).isEqualTo(200);
                assertThat(faults).hasSize(1);
                assertThat(notes)
                        .containsExactly(
                                "the desk page is shown now, at http://127.0.0.1:" + other.getLocalPort() + "/");
            }
        } finally {
            other.close();
        }
    }

    /** Nobody can type the address that stands for all of them (RFC 1122, section 3.2.1.3; RFC 4291, section 2.5.2). */
    @ParameterizedTest
    @ValueSource(strings = {"0.0.0.0", "::"})
    void saysAnAddressThatCanBeTypedWhereItIsShownAtEachOfThisMachine(String all) throws Exception {
        InetSocketAddress everywhere = new InetSocketAddress(InetAddress.getByName(all), 9780);
        String host =
                URI.create("http://" + DeskSettings.where(everywhere) + "/").getHost();
        InetAddress told = InetAddress.getByName(host);
        assertThat(told.isAnyLocalAddress()).isFalse();
        assertThat(NetworkInterface.getByInetAddress(told)).as(host).isNotNull();
        DeskSettings settings = new DeskSettings(everywhere, List.of(), null);
        assertThat(settings.where()).isEqualTo("port 9780 of every address of this machine");
    }
}
