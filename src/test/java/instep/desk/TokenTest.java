package instep.desk;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.CookieManager;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.CopyOnWriteArrayList;
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
    private final DeskPage page = DeskPage.open(Studio.closed(TOKEN), studio, faults::add);
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
        assertThat(Visitor.post(page, "/acknowledge", "fault=1", origin).status()).isEqualTo(401);
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
        try (DeskPage next = DeskPage.open(Studio.closed(TOKEN), studio, faults::add);
                DeskPage other = DeskPage.open(Studio.closed(TOKEN + "!"), studio, faults::add)) {
            String kept = "Cookie: " + cookie.substring(0, cookie.indexOf(';'));
            assertThat(Visitor.get(next, "/", kept).status()).isEqualTo(200);
            assertThat(Visitor.get(other, "/", kept).status()).isEqualTo(401);
        }
    }

    @Test
    void takesTheTokenFromAMonitorWithEachRequest() throws Exception {
        assertThat(Visitor.get(page, "/metrics", "Authorization: Bearer " + TOKEN).status())
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
        assertThat(Visitor.post(page, "/enter", FORM, "Origin: http://evil.example").status())
                .isEqualTo(403);
    }

    @Test
    void looksAtAFewOfAThousandWrongTokensAndStillShowsThePageToThoseWhoAreIn() throws Exception {
        Visitor.Answer entered = Visitor.post(page, "/enter", FORM, origin);
        String set = entered.header("set-cookie");
        String cookie = "Cookie: " + set.substring(0, set.indexOf(';'));
        Map<Integer, Integer> answers = new TreeMap<>();
        for (int i = 0; i < 1_000; i++) {
            int status = i % 2 == 0
                    ? Visitor.post(page, "/enter", "token=guess" + i, origin).status()
                    : Visitor.get(page, "/metrics", "Authorization: Bearer guess" + i).status();
            answers.merge(status, 1, Integer::sum);
        }
        assertThat(answers.keySet()).containsExactly(401, 429);
        // Ten at once, and then one for each two seconds that this may have taken.
        assertThat(answers.get(429)).isGreaterThan(900);
        // Not even the right one is looked at: an answer would tell it.
        assertThat(Visitor.post(page, "/enter", FORM, origin).status()).isEqualTo(429);
        assertThat(Visitor.get(page, "/", cookie).status()).isEqualTo(200);
    }

    @Test
    void givesTriesBackInTime() {
        Turnstile turnstile = new Turnstile();
        for (int i = 0; i < Turnstile.AT_ONCE; i++) {
            assertThat(turnstile.admits(0)).isTrue();
            turnstile.wrong(0);
        }
        assertThat(turnstile.admits(Turnstile.NANOS_EACH - 1)).isFalse();
        assertThat(turnstile.admits(Turnstile.NANOS_EACH)).isTrue();
        turnstile.wrong(Turnstile.NANOS_EACH);
        assertThat(turnstile.admits(2 * Turnstile.NANOS_EACH - 1)).isFalse();
        for (int i = 0; i < Turnstile.AT_ONCE; i++) {
            assertThat(turnstile.admits(1_000 * Turnstile.NANOS_EACH)).isTrue();
            turnstile.wrong(1_000 * Turnstile.NANOS_EACH);
        }
        assertThat(turnstile.admits(1_000 * Turnstile.NANOS_EACH)).isFalse();
    }

    @Test
    void isNotShownWithATokenThatCanBeGuessedOrIsNotThere() {
        try (DeskPage guessed = DeskPage.open(Studio.closed("clay"), studio, faults::add);
                DeskPage missing = DeskPage.open(
                        new DeskSettings(Studio.OPEN.address(), List.of(), () -> {
                            throw new IOException("there is no secret desk");
                        }),
                        studio,
                        faults::add)) {
            assertThat(guessed.address()).isEmpty();
            assertThat(missing.address()).isEmpty();
        }
        assertThat(faults).hasSize(2);
        assertThat(faults.get(0)).contains("its token has less than 16 characters").doesNotContain("clay");
        assertThat(faults.get(1)).startsWith("the desk page is not shown: there is no secret desk.");
    }
}
