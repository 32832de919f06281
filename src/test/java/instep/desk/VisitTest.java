package instep.desk;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** How many may ask and look, how long each may take, and who makes room for whom. */
class VisitTest {
    /** More bytes than two sockets hold. */
    private static final int MANY = 30_000_000;

    private final Studio studio = new Studio();
    private final List<String> faults = new CopyOnWriteArrayList<>();
    private DeskPage page = Studio.page(Studio.OPEN, studio, faults::add);

    @AfterEach
    void close() {
        page.close();
    }

    @Tag("lab")
    @Test
    void lendsOutNoMoreConnectionsThanItHas() throws Exception {
        page.close();
        // So that whoever is let go is so for their number, and not for their silence.
        page = Studio.page(Studio.OPEN, studio, faults::add, new Visit.Pace(TimeUnit.HOURS.toNanos(1), 0));
        List<Visitor> visitors = new ArrayList<>();
        try {
            try (Visitor viewer = Visitor.at(page)) {
                viewer.follow(page);
                viewer.event("state");
                for (int i = 0; i < 1_000; i++) {
                    visitors.add(Visitor.at(page));
                }
                // Of those who have said nothing, the oldest make room; the one who looks on still does, and who asks
                // something now is answered.
                assertThat(visitors.get(0).isLetGo()).isTrue();
                assertThat(Visitor.get(page, "/health").status()).isEqualTo(200);
                studio.shows(Studio.snapshot("glaze", List.of()));
                page.news();
                assertThat(viewer.event("state")).contains("glaze");
            }
        } finally {
            for (Visitor visitor : visitors) {
                visitor.close();
            }
        }
        await().atMost(30, TimeUnit.SECONDS)
                .ignoreExceptions()
                .until(() -> Visitor.get(page, "/").status() == 200);
    }

    /** Each has been answered, if only that there is no such page, and goes on waiting for its next request. */
    @Test
    void whoWaitsForLongestMakesRoomAndNobodyWhoLooksOnOrIsBeingAnswered() throws Exception {
        page.close();
        page = Studio.page(Studio.OPEN, studio, faults::add, new Visit.Pace(TimeUnit.HOURS.toNanos(1), 0));
        List<Visitor> visitors = new ArrayList<>();
        try {
            Visitor viewer = comes(visitors);
            viewer.follow(page);
            viewer.event("state");
            studio.shows(Studio.snapshot("wheel", List.of(Studio.fault(7, "x".repeat(MANY), true))));
            Visitor answered = comes(visitors);
            answered.say("GET /health HTTP/1.1\r\nHost: localhost\r\n\r\n");
            Visitor.Answer begun = answered.head();
            studio.shows(Studio.snapshot("wheel", List.of()));
            Visitor oldest = comes(visitors);
            Visitor next = comes(visitors);
            Visitor third = comes(visitors);
            for (Visitor visitor : List.of(oldest, next, third)) {
                assertThat(asks(visitor, "/nothing")).isEqualTo(404);
            }
            while (visitors.size() < DeskPage.MOST_VISITS - 1) {
                assertThat(asks(comes(visitors), "/nothing")).isEqualTo(404);
            }
            // It is not the one that has waited for longest any more.
            assertThat(asks(oldest, "/nothing")).isEqualTo(404);
            Visitor silent = comes(visitors);
            assertThat(asks(comes(visitors), "/health")).isEqualTo(200);
            assertThat(silent.isLetGo()).isTrue();
            assertThat(asks(comes(visitors), "/health")).isEqualTo(200);
            assertThat(next.isLetGo()).isTrue();
            assertThat(asks(oldest, "/nothing")).isEqualTo(404);
            assertThat(asks(third, "/nothing")).isEqualTo(404);
            assertThat(answered.body(begun)).hasSizeGreaterThan(MANY);
            studio.shows(Studio.snapshot("glaze", List.of()));
            page.news();
            assertThat(viewer.event("state")).contains("glaze");
        } finally {
            for (Visitor visitor : visitors) {
                visitor.close();
            }
        }
    }

    private Visitor comes(List<Visitor> visitors) throws Exception {
        Visitor visitor = Visitor.at(page);
        visitors.add(visitor);
        return visitor;
    }

    private static int asks(Visitor visitor, String path) throws Exception {
        visitor.say("GET " + path + " HTTP/1.1\r\nHost: localhost\r\n\r\n");
        return visitor.answer().status();
    }

    @Test
    void showsToSoManyPagesAndNoMore() throws Exception {
        List<Visitor> viewers = new ArrayList<>();
        try {
            for (int i = 0; i < Viewers.MOST; i++) {
                Visitor viewer = Visitor.at(page);
                viewers.add(viewer);
                viewer.follow(page);
                viewer.event("state");
            }
            assertThat(Visitor.get(page, "/events").status()).isEqualTo(503);
            assertThat(Visitor.get(page, "/health").status()).isEqualTo(200);
        } finally {
            for (Visitor viewer : viewers) {
                viewer.close();
            }
        }
    }

    /** More than the sockets between them hold is on its way when the desk goes on. */
    @Test
    void tellsAViewerThatReadsLateWhatIsSoByThen() throws Exception {
        studio.shows(Studio.snapshot("wheel", List.of(Studio.fault(7, "x".repeat(MANY), true))));
        try (Visitor viewer = Visitor.at(page)) {
            viewer.follow(page);
            studio.shows(Studio.snapshot("glaze", List.of()));
            page.news();
            // Somebody who is told it has been told after that.
            try (Visitor other = Visitor.at(page)) {
                other.follow(page);
                assertThat(other.event("state")).contains("glaze");
                assertThat(other.event("beat")).isNotEmpty();
            }
            assertThat(viewer.event("state")).contains("wheel");
            assertThat(viewer.event("state")).contains("glaze");
        }
    }

    @Test
    void answersOneAfterTheOtherAndLetsGoOfOneWhoAsksOnWithoutReading() throws Exception {
        try (Visitor visitor = Visitor.at(page)) {
            String ask = "GET /desk.js HTTP/1.1\r\nHost: localhost\r\n\r\n";
            for (int i = 0; i < 3; i++) {
                visitor.say(ask);
                assertThat(visitor.answer().status()).isEqualTo(200);
            }
            visitor.say(ask.repeat(3_000));
            assertThat(visitor.answer().body().strip()).endsWith("requestAnimationFrame(runTime);");
            assertThat(visitor.isLetGo()).isTrue();
        }
    }

    /** The attack that is known as slow loris: a head that never ends, a byte now and then. */
    @Test
    void letsGoOfOneWhoseRequestNeverEnds() throws Exception {
        page.close();
        page = Studio.page(Studio.OPEN, studio, faults::add, new Visit.Pace(300_000_000L, 0));
        try (Visitor visitor = Visitor.at(page)) {
            visitor.say("GET / HTTP/1.1\r\nHost: localhost\r\n");
            await().atMost(30, TimeUnit.SECONDS)
                    .pollInterval(50, TimeUnit.MILLISECONDS)
                    .until(() -> isCutOff(visitor));
        }
        try (Visitor silent = Visitor.at(page)) {
            assertThat(silent.isLetGo()).isTrue();
        }
        try (Visitor done = Visitor.at(page)) {
            done.say("GET /health HTTP/1.1\r\nHost: localhost\r\n\r\n");
            assertThat(done.answer().status()).isEqualTo(200);
            assertThat(done.isLetGo()).isTrue();
        }
    }

    private static boolean isCutOff(Visitor visitor) {
        try {
            visitor.say("X-Still: here\r\n");
            return false;
        } catch (java.io.IOException e) {
            return true;
        }
    }
}
