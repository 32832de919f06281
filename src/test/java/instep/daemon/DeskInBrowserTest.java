package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.jr.ob.JSON;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.demo.PotteryLesson;
import instep.demo.Stage;
import instep.desk.Browser;
import instep.desk.DeskSettings;
import instep.input.Performance;
import instep.time.FrameRate;
import instep.time.Timecode;
import java.io.InputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.assertj.core.api.InstanceOfAssertFactories;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The page in a browser while a take is going on: Debian's chromium without a screen. Pictures are left in target/desk. */
@Tag("lab")
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class DeskInBrowserTest {
    private static final Path PICTURES = Path.of("target/desk");
    private static final String TOKEN = "clay & water, 40 percent";
    /** Rolls, and goes to the wheel. */
    private static final String WHEEL = "0.1 right close\n0.9 right open\n1.5 left close\n";

    @TempDir
    private Path folder = Path.of("");

    private Browser browser;

    @BeforeAll
    void open(@TempDir Path profile) throws Exception {
        browser = Browser.start(profile);
    }

    @AfterAll
    void close() {
        browser.close();
    }

    private static Settings settings(int port, @Nullable String token) throws Exception {
        return ConfigReader.parse("pottery.yaml", PotteryLesson.patient())
                .withDesk(new DeskSettings(
                        new InetSocketAddress(InetAddress.getLoopbackAddress(), port),
                        List.of(),
                        token == null ? null : () -> token));
    }

    private Daemon start(Settings settings) throws Exception {
        Performance edges = Performance.parse("wheel.performance", WHEEL);
        return Daemon.start(settings, new Daemon.Options(folder, 1, Optional.of(edges), false));
    }

    private static String address(Daemon daemon) {
        return daemon.page().orElseThrow().toString();
    }

    private static void until(Callable<Boolean> holds) {
        await().atMost(Duration.ofSeconds(60))
                .pollInterval(Duration.ofMillis(100))
                .ignoreExceptions()
                .until(holds);
    }

    private String page(String expression) {
        return browser.value(expression).toString();
    }

    @ParameterizedTest
    @CsvSource({
        ",desk-dark,dark,1280,720,false",
        ",desk-light,light,1280,720,false",
        ",phone-dark,dark,390,844,true",
        ",phone-light,light,390,844,true",
        "glance,glance-dark,dark,800,480,false",
        "glance,glance-light,light,390,844,true"
    })
    void showsATakeAsItGoesOn(@Nullable String path, String name, String scheme, int width, int height, boolean phone)
            throws Exception {
        Settings settings = settings(0, null);
        try (Stage stage = Stage.open(settings.gear());
                Daemon daemon = start(settings.withGear(stage.gear()))) {
            browser.scheme(scheme);
            browser.show(address(daemon) + (path == null ? "" : path), width, height, phone);
            until(() -> browser.text("angle").equals("wheel"));
            assertThat(browser.text("rolling")).isEqualTo("rolling");
            assertThat(browser.text("take")).matches("Take [0-9]+");
            String before = browser.text("timecode");
            assertThat(before).matches("[0-9]{2}:[0-9]{2}:[0-9]{2}:[0-9]{2}");
            until(() -> !browser.text("timecode").equals(before));
            // Nothing sticks out at the side.
            assertThat(page("document.documentElement.scrollWidth <= innerWidth"))
                    .isEqualTo("true");
            if (path == null) {
                assertThat(browser.text("pedals")).matches("floor +left middle right ");
                assertThat(page("document.querySelector('.contact.closed').textContent"))
                        .isEqualTo("left");
                until(() -> browser.text("recorders").equals("recorder rolls"));
                assertThat(browser.text("happenings")).contains("CUT     wide -> wheel");
                assertThat(browser.text("air-words")).isEqualTo("says mixer");
            }
            until(() -> browser.text("spoken").contains("On air: wheel") || before.isEmpty());
            assertThat(violations()).isEmpty();
            assertThat(moving()).isEqualTo("0");
            browser.picture(PICTURES.resolve(name + ".png"));
        }
        assertThat(browser.complaints()).isEmpty();
    }

    /** What axe-core finds of the rules of WCAG 2.0 to 2.2, levels A and AA. */
    private List<String> violations() throws Exception {
        try (InputStream axe = DeskInBrowserTest.class.getClassLoader().getResourceAsStream("axe.min.js")) {
            // By the protocol, since the page's own policy lets no script in.
            browser.value(new String(axe.readAllBytes(), StandardCharsets.UTF_8) + "; 'read'");
        }
        String found = page("axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa',"
                + " 'best-practice'] }).then(r => JSON.stringify({ checked: r.passes.length, violations:"
                + " r.violations.map(v => v.id + ' (' + v.impact + '): ' + v.nodes.map(n => n.html).join(' | ')) }))");
        var result = JSON.std.mapFrom(found);
        assertThat(result.get("checked"))
                .asInstanceOf(InstanceOfAssertFactories.INTEGER)
                .isGreaterThan(10);
        return result.get("violations") instanceof List<?> all
                ? all.stream().map(String::valueOf).toList()
                : List.of(found);
    }

    /** How many elements move or fade by themselves (WCAG 2.2, success criterion 2.3.1: at most three flashes a second; there are none). */
    private String moving() {
        return page(
                "[...document.querySelectorAll('*')].map(e => getComputedStyle(e)).filter(s => s.animationName !== 'none'"
                        + " || s.transitionDuration !== '0s').length");
    }

    @ParameterizedTest
    @CsvSource({
        ",fault-dark,dark,1280,720",
        ",fault-light,light,1280,720",
        ",fault-phone,dark,390,844",
        "glance,fault-glance,light,800,480",
        "glance,fault-glance-hand,dark,480,320"
    })
    void showsFaultsInWordsUntilSomebodyHasSeenThemWithoutAMouse(
            @Nullable String path, String name, String scheme, int width, int height) throws Exception {
        Settings settings = settings(0, null);
        Stage stage = Stage.open(settings.gear());
        try (Daemon daemon = start(settings.withGear(stage.gear()))) {
            browser.scheme(scheme);
            browser.show(address(daemon) + (path == null ? "" : path), width, height, false);
            until(() -> browser.text("angle").equals("wheel"));
            stage.close();
            until(() -> browser.text("fault-list").startsWith("Fault: recorder has stopped in the take"));
            until(() -> browser.text("alarm").startsWith("Fault: "));
            if (path != null) {
                until(() -> page("document.documentElement.scrollHeight <= innerHeight")
                        .equals("true"));
            }
            assertThat(page("document.title")).startsWith("! ");
            assertThat(violations()).isEmpty();
            browser.picture(PICTURES.resolve(name + ".png"));
            until(() -> {
                browser.value("document.querySelector('#fault-list button')?.focus()");
                browser.press("Enter", 13);
                return page("document.getElementById('faults').hidden").equals("true");
            });
            assertThat(browser.text("angle")).isEqualTo("? wheel");
        } finally {
            stage.close();
        }
    }

    @ParameterizedTest
    @CsvSource({
        ",doubt-dark,dark,1280,720",
        ",doubt-phone,light,390,844",
        "glance,doubt-glance,dark,800,480",
        "glance,doubt-glance-light,light,390,844",
        "glance,doubt-glance-hand,light,480,320"
    })
    void showsPlainlyThatAnAngleMayNotBeOnAir(@Nullable String path, String name, String scheme, int width, int height)
            throws Exception {
        Settings settings = settings(0, null);
        Stage stage = Stage.open(settings.gear());
        try (Daemon daemon = start(settings.withGear(stage.gear()))) {
            browser.scheme(scheme);
            browser.show(address(daemon) + (path == null ? "" : path), width, height, false);
            until(() -> browser.text("angle").equals("wheel"));
            assertThat(page("document.getElementById('doubt').hidden")).isEqualTo("true");
            stage.close();
            until(() -> browser.text("angle").equals("? wheel"));
            assertThat(browser.text("doubt")).isEqualTo("perhaps not on air: mixer cannot be reached");
            assertThat(page("getComputedStyle(document.getElementById('angle')).borderTopStyle"))
                    .isEqualTo("dashed");
            if (path != null) {
                until(() -> page("document.documentElement.scrollHeight <= innerHeight")
                        .equals("true"));
            }
            until(() -> browser.text("spoken").contains("Perhaps not on air: wheel"));
            assertThat(page("document.documentElement.scrollWidth <= innerWidth"))
                    .isEqualTo("true");
            assertThat(violations()).isEmpty();
            assertThat(moving()).isEqualTo("0");
            browser.picture(PICTURES.resolve(name + ".png"));
        } finally {
            stage.close();
        }
    }

    @Test
    void showsPlainlyThatItIsOldAndComesBackByItself() throws Exception {
        int port;
        try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            port = free.getLocalPort();
        }
        Settings settings = settings(port, null);
        try (Stage stage = Stage.open(settings.gear())) {
            try (Daemon daemon = start(settings.withGear(stage.gear()))) {
                browser.scheme("light");
                browser.show(address(daemon), 1280, 720, false);
                until(() -> browser.text("angle").equals("wheel"));
                assertThat(page("document.getElementById('stale').hidden")).isEqualTo("true");
            }
            until(() -> page("document.body.dataset.news").equals("old"));
            assertThat(page("document.getElementById('stale').hidden")).isEqualTo("false");
            until(() -> browser.text("spoken").equals("No news from the desk"));
            until(() -> browser.text("stale-since").matches("Nothing has come for [0-9]+ s\\."));
            assertThat(page("document.title")).startsWith("? ");
            String stands = browser.text("timecode");
            assertThat(violations()).isEmpty();
            browser.picture(PICTURES.resolve("stale-light.png"));
            assertThat(browser.text("timecode")).isEqualTo(stands);
            try (Daemon again = start(settings.withGear(stage.gear()))) {
                until(() -> page("document.body.dataset.news").equals("fresh"));
                until(() -> !browser.text("timecode").equals(stands));
                assertThat(page("document.title")).doesNotStartWith("? ");
                assertThat(address(again)).endsWith(port + "/");
            }
        }
    }

    @Test
    void letsAScreenWithoutAKeyboardInByItsAddressAndOthersByTheForm() throws Exception {
        Settings settings = settings(0, TOKEN);
        try (Stage stage = Stage.open(settings.gear());
                Daemon daemon = start(settings.withGear(stage.gear()))) {
            browser.show(address(daemon), 1280, 720, false);
            until(() -> page("document.title").equals("Desk: token"));
            assertThat(violations()).isEmpty();
            browser.picture(PICTURES.resolve("enter.png"));
            browser.value(
                    "document.getElementById('token').value = 'not the right one'; document.querySelector('button').click()");
            until(() -> page("document.body.textContent").contains("that is not the token"));
            browser.show("about:blank", 1280, 720, false);
            browser.show(address(daemon) + "glance#" + TOKEN.replace(" ", "%20"), 1280, 720, false);
            until(() -> browser.text("angle").equals("wheel"));
            assertThat(page("location.pathname + location.hash")).isEqualTo("/glance");
            assertThat(page("document.cookie")).isEmpty();
            assertThat(page("renew()")).isEqualTo("200");
        }
    }

    /** What stands there cannot be decoded (ECMA-262, section 19.2.6.2: a URIError), and is meant as it is. */
    @Test
    void letsAScreenInWhoseTokenHasASignOfPercentOfItsOwn() throws Exception {
        String token = "clay-with-40%-water";
        Settings settings = settings(0, token);
        try (Stage stage = Stage.open(settings.gear());
                Daemon daemon = start(settings.withGear(stage.gear()))) {
            browser.show("about:blank", 1280, 720, false);
            browser.show(address(daemon) + "glance#" + token, 1280, 720, false);
            until(() -> browser.text("angle").equals("wheel"));
            assertThat(page("location.pathname + location.hash")).isEqualTo("/glance");
        }
    }

    /** The labels of ST 12-1's drop-frame table, and along a whole day those that the core counts, which its own tests hold against the standard. */
    @Test
    void writesTheLabelsOfTheStandard() throws Exception {
        Settings settings = settings(0, null);
        try (Stage stage = Stage.open(settings.gear());
                Daemon daemon = start(settings.withGear(stage.gear()))) {
            browser.show(address(daemon), 1280, 720, false);
            until(() -> page("typeof label").equals("function"));
            String drop = "{counted: 30, dropped: 2}";
            assertThat(page("[0, 1799, 1800, 17981, 17982, 107892].map(f => label(f, " + drop + ")).join(' ')"))
                    .isEqualTo("00:00:00;00 00:00:59;29 00:01:00;02 00:09:59;29 00:10:00;00 01:00:00;00");
            for (FrameRate rate : FrameRate.values()) {
                List<String> labels = new ArrayList<>();
                for (long frame = 0; frame < rate.framesPerDay(); frame += 997) {
                    labels.add(new Timecode(rate, frame).toString());
                }
                String ours = "{counted: " + rate.counted() + ", dropped: " + rate.dropped() + "}";
                String theirs = "(() => { const all = []; for (let f = 0; f < framesOfDay(" + ours + "); f += 997)"
                        + " all.push(label(f, " + ours + ")); return all.join(' '); })()";
                assertThat(page(theirs)).isEqualTo(String.join(" ", labels));
            }
        }
    }
}
