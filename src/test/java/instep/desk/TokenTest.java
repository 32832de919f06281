package instep.desk;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.net.CookieManager;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Who knows the token gets in, and nobody else. */
class TokenTest {
    private static final String TOKEN = "clay & water, 40 percent";
    private static final String FORM = "token=clay+%26+water%2C+40+percent&to=%2Fglance";

    private final Studio studio = new Studio();
    private final List<String> faults = new CopyOnWriteArrayList<>();
    private final DeskPage page = Studio.page(Studio.closed(TOKEN), studio, faults::add);
    private final String origin = "Origin: http://" + Visitor.host(page);

    @AfterEach
    void close() {
        page.close();
    }

    @ParameterizedTest
    @ValueSource(strings = {"/", "/glance", "/events", "/metrics", "/health"})
    void showsNothingToOneWhoHasNotEntered(String path) throws Exception {
        Visitor.Answer answer = Visitor.get(page, path);
        assertThat(answer.status()).isEqualTo(401);
        assertThat(answer.body()).doesNotContain("wheel", "instep_", "well");
        assertThat(answer.header("www-authenticate")).isEqualTo("Bearer"); // RFC 6750, section 3
        assertThat(Visitor.post(page, "/acknowledge", "fault=1", origin).status())
                .isEqualTo(401);
        // What stands in every copy of the program is no secret, and the page that asks for the token needs it.
        assertThat(Visitor.get(page, "/desk.css").status()).isEqualTo(200);
    }

    @Test
    void asksOnceAndKnowsTheBrowserByItsCookieThen() throws Exception {
        CookieManager cookies = new CookieManager();
        HttpClient browser = HttpClient.newBuilder()
                .cookieHandler(cookies)
                .followRedirects(HttpClient.Redirect.NEVER)
                .build();
        URI address = page.address().orElseThrow();
        HttpRequest enter = HttpRequest.newBuilder(address.resolve("/enter"))
                .header("Origin", "http://" + address.getAuthority())
                .POST(HttpRequest.BodyPublishers.ofString(FORM))
                .build();
        HttpResponse<String> entered = browser.send(enter, HttpResponse.BodyHandlers.ofString());
        assertThat(entered.statusCode()).isEqualTo(303);
        assertThat(entered.headers().firstValue("location")).contains("/glance");
        String cookie = entered.headers().firstValue("set-cookie").orElse("");
        assertThat(cookie).contains("HTTPOnly", "SameSite=Strict", "Path=/").doesNotContain("clay");
        HttpRequest look = HttpRequest.newBuilder(address).build();
        assertThat(browser.send(look, HttpResponse.BodyHandlers.ofString()).statusCode())
                .isEqualTo(200);
        // The screen behind the camera outlives a start of the program.
        try (DeskPage next = Studio.page(Studio.closed(TOKEN), studio, faults::add);
                DeskPage other = Studio.page(Studio.closed(TOKEN + "!"), studio, faults::add)) {
            String kept = "Cookie: " + cookie.substring(0, cookie.indexOf(';'));
            assertThat(Visitor.get(next, "/", kept).status()).isEqualTo(200);
            assertThat(Visitor.get(other, "/", kept).status()).isEqualTo(401);
        }
    }

    /** A screen behind the camera has no keyboard: RFC 6265, section 5.2.2: what is set later counts from then. */
    @ParameterizedTest
    @ValueSource(strings = {"GET", "HEAD"})
    void givesTheCookieAnewToWhoLooks(String method) throws Exception {
        String set = Visitor.post(page, "/enter", FORM, origin).header("set-cookie");
        String cookie = "Cookie: " + set.substring(0, set.indexOf(';'));
        for (String path : List.of("/", "/glance")) {
            try (Visitor visitor = Visitor.at(page)) {
                visitor.say(method + " " + path + " HTTP/1.1\r\nHost: localhost\r\n" + cookie + "\r\n\r\n");
                Visitor.Answer answer = visitor.head();
                assertThat(answer.status()).isEqualTo(200);
                // Until another request is made, the browser counts these 90 days in seconds.
                assertThat(answer.header("set-cookie")).contains("Max-Age=7776000");
                // It varies by when it ends, and by nothing else.
                assertThat(answer.header("set-cookie").replaceAll("Expires=[^;]*", ""))
                        .isEqualTo(set.replaceAll("Expires=[^;]*", ""));
            }
            assertThat(Visitor.get(page, path, "Authorization: Bearer " + TOKEN).header("set-cookie"))
                    .isEmpty();
        }
        assertThat(Visitor.get(page, "/", cookie + "x").header("set-cookie")).isEmpty();
    }

    @Test
    void takesTheTokenFromAMonitorWithEachRequest() throws Exception {
        assertThat(Visitor.get(page, "/metrics", "Authorization: Bearer " + TOKEN)
                        .status())
                .isEqualTo(200);
        for (String wrong : List.of("Bearer", "Bearer ", "Basic " + TOKEN, "Bearer " + TOKEN + "x", "Bearer clay")) {
            assertThat(Visitor.get(page, "/metrics", "Authorization: " + wrong).status())
                    .isEqualTo(401);
        }
    }

    @Test
    void leadsNobodyElsewhere() throws Exception {
        Visitor.Answer answer =
                Visitor.post(page, "/enter", FORM.replace("%2Fglance", "https%3A%2F%2Fevil.example"), origin);
        assertThat(answer.header("location")).isEqualTo("/");
    }

    @Test
    void refusesATokenThatAnotherSiteSends() throws Exception {
        assertThat(Visitor.post(page, "/enter", FORM).status()).isEqualTo(403);
        assertThat(Visitor.post(page, "/enter", FORM, "Origin: http://evil.example")
                        .status())
                .isEqualTo(403);
    }

    /** Nobody looks at those that wait, for an hour here: neither they nor those who are told to come again learn anything. */
    @Test
    void looksAtAFewOfAThousandWrongTokensAndStillShowsThePageToThoseWhoAreIn() throws Exception {
        Map<Integer, Integer> answers = new TreeMap<>();
        List<Visitor> waiting = new ArrayList<>();
        long hour = TimeUnit.HOURS.toNanos(1);
        String guess = "GET /metrics HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer guess\r\n\r\n";
        try (DeskPage slow = Studio.page(Studio.closed(TOKEN), studio, faults::add, new Visit.Pace(hour, hour))) {
            String at = "Origin: http://" + Visitor.host(slow);
            String set = Visitor.post(slow, "/enter", FORM, at).header("set-cookie");
            String cookie = "Cookie: " + set.substring(0, set.indexOf(';'));
            for (int i = 0; i < 2 * Turnstile.AT_ONCE + Turnstile.MOST_WAITING_EACH; i++) {
                Visitor visitor = Visitor.at(slow);
                waiting.add(visitor);
                visitor.say(guess);
            }
            // All have been heard before these.
            for (int i = 0; i < 10; i++) {
                assertThat(Visitor.get(slow, "/", cookie).status()).isEqualTo(200);
            }
            for (int i = 0; i < 1_000; i++) {
                int status = i % 2 == 0
                        ? Visitor.post(slow, "/enter", "token=guess" + i, at).status()
                        : Visitor.get(slow, "/metrics", "Authorization: Bearer guess" + i)
                                .status();
                answers.merge(status, 1, Integer::sum);
            }
            // But for one in each two seconds that this may have taken.
            assertThat(answers.getOrDefault(429, 0)).isGreaterThan(900);
            assertThat(answers.keySet()).isSubsetOf(401, 429);
            assertThat(Visitor.get(slow, "/", cookie).status()).isEqualTo(200);
            for (Visitor visitor : waiting) {
                visitor.close();
            }
            // Their places are free again: who comes now waits, and one who does not is let go without a word.
            await().atMost(1, TimeUnit.MINUTES).until(() -> {
                try (Visitor late = Visitor.at(slow)) {
                    late.say(guess + guess);
                    return late.isLetGoWithoutAWord();
                }
            });
        }
    }

    /** Whatever others try: somebody who knows the token has to wait for a moment, and is not locked out. */
    @Test
    void theRightTokenGetsInAmongWrongOnes() throws Exception {
        try (DeskPage quick =
                Studio.page(Studio.closed(TOKEN), studio, faults::add, new Visit.Pace(Studio.SECOND * 60, 1_000))) {
            for (int i = 0; i < 5 * Turnstile.AT_ONCE; i++) {
                assertThat(Visitor.get(quick, "/metrics", "Authorization: Bearer guess" + i)
                                .status())
                        .isEqualTo(401);
            }
            assertThat(Visitor.get(quick, "/metrics", "Authorization: Bearer " + TOKEN)
                            .status())
                    .isEqualTo(200);
            String at = "Origin: http://" + Visitor.host(quick);
            assertThat(Visitor.post(quick, "/enter", FORM, at).status()).isEqualTo(303);
        }
    }

    @Test
    void thousandWrongTokensLeaveOneFaultAndACount() throws Exception {
        try (DeskPage quick =
                Studio.page(Studio.closed(TOKEN), studio, faults::add, new Visit.Pace(Studio.SECOND * 60, 0))) {
            for (int i = 0; i < 1_000; i++) {
                Visitor.get(quick, "/metrics", "Authorization: Bearer guess" + i);
            }
            assertThat(faults).hasSize(1).first().asString().contains("10 from 127.0.0.1");
            assertThat(Visitor.get(quick, "/metrics", "Authorization: Bearer " + TOKEN)
                            .body())
                    .contains("instep_desk_wrong_tokens_total 1000\n");
        }
    }

    @Test
    void isNotShownWithATokenThatCanBeGuessedOrIsNotThere() {
        try (DeskPage guessed = Studio.page(Studio.closed("clay"), studio, faults::add);
                DeskPage missing = Studio.page(
                        new DeskSettings(Studio.OPEN.address(), List.of(), () -> {
                            throw new IOException("there is no secret desk");
                        }),
                        studio,
                        faults::add)) {
            assertThat(guessed.address()).isEmpty();
            assertThat(missing.address()).isEmpty();
        }
        assertThat(faults).hasSize(2);
        assertThat(faults.get(0))
                .contains("its token has less than 16 characters")
                .doesNotContain("clay");
        assertThat(faults.get(1)).startsWith("the desk page is not shown: there is no secret desk.");
    }
}
