package instep.desk;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.util.List;
import java.util.Random;
import net.jqwik.api.Example;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.lifecycle.AfterContainer;

/** Whatever bytes come to the page: it refuses them or lets go, makes no mistake of its own, and answers the next one. What is malformed: RFC 9112, sections 2 to 7, and RFC 3986. */
class GarbageTest {
    private static final Studio STUDIO = new Studio();
    private static final DeskPage PAGE = Studio.page(Studio.OPEN, STUDIO, fault -> {});

    private static final List<String> MALFORMED = List.of(
            "\r\n\r\n\r\n\r\n",
            "GET\r\n\r\n",
            "GET / HTTP/9.9\r\n\r\n",
            "GET / HTTP/1.1\r\n\r\n",
            "GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
            "GET / HTTP/1.1\r\nHost: localhost\r\nContent-Length: -1\r\n\r\n",
            "GET / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 99999999999\r\n\r\n",
            "GET / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 1\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n",
            "POST /acknowledge HTTP/1.1\r\nHost: localhost\r\nOrigin: http://localhost\r\nTransfer-Encoding: chunked\r\n\r\nffffffffff\r\n",
            "GET http://a@localhost/ HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "GET ftp://localhost/ HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "GET /../../etc/passwd HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "GET /%2e%2e%2fdesk.html HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "GET /desk.html HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "OPTIONS * HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "CONNECT localhost:22 HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "TRACE / HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
            "\u0016\u0003\u0001\u0002\u0000\u0001\u0000\u0001\u00fc\u0003\u0003\r\n\r\n",
            "\u0000\u00ff\u00fe\u0000\r\n\r\n",
            "GET / HTTP/1.1\r\nHost: localhost\r\n: no name\r\n\r\n",
            "GET / HTTP/1.1\r\nHost: localhost\r\nX\u0000Y: 1\r\n\r\n",
            "POST /acknowledge HTTP/1.1\r\nHost: localhost\r\nOrigin: http://localhost\r\nContent-Length: 9\r\n\r\nfault=%zz",
            "GET / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\nxx",
            "GET / HTTP/1.1\r\n Host: localhost\r\n\r\n",
            "GET / HTTP/1.1\r\nHost : localhost\r\n\r\n",
            "GET / HTTP/1.1 extra\r\nHost: localhost\r\n\r\n",
            "GET  /  HTTP/1.1\r\nHost: nobody.example\r\n\r\n",
            "G\u00e9T / HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "POST /enter HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: gzip\r\n\r\nx",
            "POST /enter HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n-1\r\n",
            "POST /enter HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n2\r\nxxx\r\n0\r\n\r\n",
            "POST /enter HTTP/1.1\r\nHost: localhost\r\nExpect: 200-maybe\r\nContent-Length: 1\r\n\r\nx",
            "GET / HTTP/1.1\r\nHost: localhost\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nOrigin: null\r\n\r\n",
            "GET /?" + "x".repeat(2_000) + " HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "GET / HTTP/1.1\r\n" + "a: b\r\n".repeat(100) + "\r\n",
            "\u00ff".repeat(20_000),
            "GET /%00 HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "GET / HTTP/1.1\r\nHost: [::1\r\n\r\n",
            "GET / HTTP/1.1\r\nHost: ]:[\r\n\r\n",
            "GET / HTTP/1.1\r\nHost: localhost\r\nOrigin: http://localhost\u0000\r\n\r\n");

    private static final List<String> GOOD = List.of(
            "GET / HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "GET http://localhost:1/glance?a=b HTTP/1.1\r\nHost: localhost\r\n\r\n",
            "GET /metrics HTTP/1.1\r\nHost: 127.0.0.1:80\r\nAccept: text/plain\r\nConnection: close\r\n\r\n",
            "HEAD /glance HTTP/1.0\r\nHost: desk.example\r\nCookie: instep-desk=x; a=\"b\"\r\n\r\n",
            "GET /health?a=%41 HTTP/1.1\r\nHost: [::1]\r\nAuthorization: Bearer x\r\n\r\n",
            "GET /events HTTP/1.1\r\nHost: localhost\r\nSec-Fetch-Site: same-origin\r\n\r\n",
            "POST /acknowledge HTTP/1.1\r\nHost: localhost\r\nOrigin: http://localhost\r\nContent-Length: 7\r\n\r\nfault=7",
            "POST /enter HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n8\r\ntoken=%4\r\n1;x=y\r\n1\r\n0\r\n\r\n",
            "POST /enter HTTP/1.1\r\nHost: localhost\r\nExpect: 100-continue\r\nContent-Length: 1\r\n\r\nx");

    @AfterContainer
    static void close() {
        PAGE.close();
    }

    /** The codes of what was answered until the page let go. */
    private static List<Integer> answers(byte[] bytes) throws IOException {
        try (Visitor visitor = Visitor.at(PAGE)) {
            return visitor.saysAndLeaves(bytes);
        }
    }

    private static void stillAnswers() throws IOException {
        assertThat(Visitor.get(PAGE, "/health").body()).isEqualTo("all is well\n");
    }

    @Example
    void refusesWhatIsMalformedOrLetsGo() throws IOException {
        for (String malformed : MALFORMED) {
            assertThat(answers(Studio.bytes(malformed))).as(malformed).allMatch(code -> code >= 400 && code < 500);
            stillAnswers();
        }
    }

    @Property(tries = 400)
    void standsWhatSomebodyHasMixedUp(@ForAll Random random, @ForAll @IntRange(min = 1, max = 8) int changes)
            throws IOException {
        byte[] bytes = Studio.bytes(one(GOOD, random));
        for (int i = 0; i < changes; i++) {
            bytes = changed(bytes, random);
        }
        assertThat(answers(bytes))
                .as(new String(bytes, java.nio.charset.StandardCharsets.ISO_8859_1))
                .allMatch(code -> code < 500);
        stillAnswers();
    }

    private static String one(List<String> all, Random random) {
        return all.get(random.nextInt(all.size()));
    }

    /** With a byte changed, a piece left out or said twice, or a piece of something malformed in it. */
    private static byte[] changed(byte[] bytes, Random random) {
        int at = random.nextInt(bytes.length + 1);
        int end = Math.min(bytes.length, at + random.nextInt(12));
        byte[] other = Studio.bytes(one(random.nextBoolean() ? MALFORMED : GOOD, random));
        int from = random.nextInt(other.length);
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        out.write(bytes, 0, at);
        switch (random.nextInt(4)) {
            case 0 -> out.write(random.nextInt(256));
            case 1 -> out.write(bytes, at, end - at);
            case 2 -> out.write(other, from, Math.min(other.length - from, random.nextInt(60)));
            default -> at = end;
        }
        out.write(bytes, at, bytes.length - at);
        return out.toByteArray();
    }
}
