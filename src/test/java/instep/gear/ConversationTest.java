package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import instep.demo.StandInRecorder;
import instep.gear.GearSettings.LineEnd;
import instep.machine.Template;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** Messages of several steps, and what gear has to answer. */
class ConversationTest {
    private static final long MILLIS = 1_000_000L;

    private final Told told = new Told();
    private final HandLoop hand = new HandLoop(HandLoop.Kind.NIO);
    private @Nullable Rack rack;

    @AfterEach
    void close() {
        if (rack != null) {
            rack.close();
        }
        hand.close();
    }

    private Rack open(Listening manners, GearSettings... gear) {
        List<Listening> listening = new ArrayList<>();
        List.of(gear).forEach(one -> listening.add(manners));
        Rack opened = new Rack(hand.loop, List.of(gear), listening, told);
        rack = opened;
        opened.start();
        hand.until(() -> opened.isUp(gear.length - 1) && opened.isUp(0));
        return opened;
    }

    private Rack mixer(LinePeer peer) {
        return open(Listening.PLAIN, Say.mixer(peer.port(), LineEnd.CRLF));
    }

    private static Match line(String regex) {
        return new Match.Line(Pattern.compile(regex));
    }

    private static Message.Step step(String text, long waitMillis, @Nullable String expect, int retries) {
        Message.Expect wanted = expect == null ? null : new Message.Expect(line(expect), 500 * MILLIS);
        return new Message.Step(0, new Payload.Text(Template.parse(text)), waitMillis * MILLIS, wanted, retries);
    }

    private static Message message(boolean cut, Message.Step... steps) {
        return new Message("told", List.of(steps), cut);
    }

    @Test
    void saysTheNextStepWhenTheOneBeforeIsAnswered() throws IOException {
        try (LinePeer peer = new LinePeer(line -> line.startsWith("ARM") ? "OK armed" : null)) {
            Rack to = mixer(peer);
            to.send(
                    message(false, step("ARM {take}", 0, "^OK", 0), step("TAKE {take}", 0, null, 0)),
                    Say.with("take", 7L),
                    5);
            hand.until(() -> told.has("0 sent 5 TAKE"));
            assertThat(told.lines).containsSubsequence("0 sent 5 ARM 7", "0 reply -1 OK armed", "0 sent 5 TAKE 7");
            assertThat(to.isQuiet()).isTrue();
        }
    }

    @Test
    void waitsBetweenSteps() throws IOException {
        try (LinePeer peer = new LinePeer(line -> null)) {
            Rack to = mixer(peer);
            to.send(message(false, step("A", 0, null, 0), step("B", 120, null, 0)), Say.NOTHING, 5);
            hand.pass(119);
            assertThat(told.lines).contains("0 sent 5 A").doesNotContain("0 sent 5 B");
            hand.pass(1);
            assertThat(told.lines).contains("0 sent 5 B");
        }
    }

    @Test
    void isSilentWhenTheAnswerDoesNotComeInTime() throws IOException {
        try (LinePeer peer = new LinePeer(line -> "ERR " + line)) {
            Rack to = mixer(peer);
            to.send(message(false, step("ARM", 0, "^OK", 0), step("TAKE", 0, null, 0)), Say.NOTHING, 5);
            hand.until(() -> told.has("0 reply -1 ERR ARM"));
            hand.pass(499);
            assertThat(told.count("0 silent")).isZero();
            hand.pass(1);
            assertThat(told.lines)
                    .endsWith(
                            "0 silent 5 no such answer within 500 ms; it said: ERR ARM",
                            "0 missed 5 TAKE: the step before it was not done");
        }
    }

    @Test
    void saysItAgainAsOftenAsItMay() throws IOException {
        AtomicInteger asked = new AtomicInteger();
        try (LinePeer peer = new LinePeer(line -> asked.incrementAndGet() < 3 ? null : "OK")) {
            Rack to = mixer(peer);
            to.send(message(false, step("ARM", 0, "^OK", 2)), Say.NOTHING, 5);
            hand.passUntil(1_100, () -> told.count("0 sent 5 ARM") == 3);
            hand.until(to::isQuiet);
            assertThat(told.count("0 silent")).isZero();
            assertThat(peer.heard).containsExactly("ARM", "ARM", "ARM");
        }
    }

    /** A cut that is said again when it is stale would be a late cut. */
    @Test
    void neverSaysACutAgainAfterItIsStale() throws IOException {
        try (LinePeer peer = new LinePeer(line -> null)) {
            Rack to = mixer(peer);
            to.send(message(true, step("CUT 1", 0, "^OK", 5)), Say.NOTHING, 5);
            hand.pass(3_000);
            assertThat(told.count("0 sent 5")).isEqualTo(1);
            assertThat(told.lines).contains("0 silent 5 no such answer within 500 ms");
        }
    }

    @Test
    void doesNotSayWhatIsLeftOfACutThatAnotherHasReplaced() throws IOException {
        try (LinePeer peer = new LinePeer(line -> null)) {
            Rack to = mixer(peer);
            to.send(message(true, step("PREPARE 1", 0, null, 0), step("CUT 1", 100, null, 0)), Say.NOTHING, 5);
            to.withdraw(ticket -> ticket == 5, "a later cut");
            to.send(message(true, step("CUT 2", 0, null, 0)), Say.NOTHING, 6);
            hand.pass(200);
            assertThat(told.lines).contains("0 missed 5 CUT 1: a later cut").doesNotContain("0 sent 5 CUT 1");
            assertThat(told.count("0 missed")).isEqualTo(1);
        }
    }

    /** Gear that is told the same again has missed nothing. */
    @Test
    void takesBackWithoutAWordWhatHasNotLeftYet() throws IOException {
        try (LinePeer peer = new LinePeer(line -> null)) {
            Rack to = mixer(peer);
            to.send(message(true, step("PREPARE 1", 0, null, 0), step("CUT 1", 100, "^OK", 0)), Say.NOTHING, 5);
            to.takeBack(0, ticket -> ticket == 5);
            to.send(message(true, step("CUT 1", 0, null, 0)), Say.NOTHING, 6);
            hand.pass(200);
            assertThat(told.lines).contains("0 sent 6 CUT 1").doesNotContain("0 sent 5 CUT 1");
            assertThat(told.count("0 missed")).isZero();
            assertThat(told.count("0 silent")).isZero();
            to.send(message(true, step("CUT 2", 100, null, 0)), Say.NOTHING, 7);
            to.withdraw(ticket -> ticket == 7, "a later cut");
            assertThat(told.lines).contains("0 missed 7 CUT 2: a later cut");
        }
    }

    @Test
    void isSilentAboutWhatCouldNotBeTold() throws IOException {
        Rack to = new Rack(hand.net(host -> new java.net.InetAddress[0]), List.of(Say.mixer(1, LineEnd.CRLF)), told);
        rack = to;
        to.send(message(false, step("ARM", 0, "^OK", 0), step("TAKE", 0, null, 0)), Say.NOTHING, 5);
        hand.pass(Say.STALE_MILLIS);
        assertThat(told.lines)
                .containsSubsequence(
                        "0 missed 5 ARM: not connected yet", "0 silent 5 it could not be told: not connected yet")
                .contains("0 missed 5 TAKE: the step before it was missed");
        assertThat(to.isQuiet()).isTrue();
    }

    @Test
    void looksIntoTheBodyOfAnAnswer() throws IOException {
        try (StandInRecorder recorder = StandInRecorder.open()) {
            Rack to = open(Listening.PLAIN, Say.recorder(recorder.port()));
            JsonPointer mode = JsonPointer.parse("/mode").orElseThrow();
            Payload put = new Payload.Http(
                    "PUT",
                    UriTemplate.parse("/transport"),
                    Map.of(),
                    Template.parse("{\"mode\":\"record\"}"),
                    null,
                    0,
                    0);
            for (String wanted : List.of("record", "play")) {
                Message.Expect expect = new Message.Expect(new Match.Pointer(mode, wanted), 0);
                to.send(
                        new Message("roll", List.of(new Message.Step(0, put, 0, expect, 1))),
                        Say.NOTHING,
                        wanted.length());
                hand.until(to::isQuiet);
            }
            assertThat(told.lines)
                    .contains(
                            "0 reply 6 200 OK",
                            "0 refused 4 it answered, but not what was expected; it said: {\"mode\":\"record\",\"take\":\"\"}");
            assertThat(told.count("0 sent 6")).isEqualTo(1);
            assertThat(told.count("0 sent 4")).as("told once more").isEqualTo(2);
        }
    }

    @Test
    void asksOverAndOverOnAConnectionOfItsOwn() throws IOException {
        try (StandInRecorder recorder = StandInRecorder.open()) {
            Payload get = new Payload.Http("GET", UriTemplate.parse("/transport"), Map.of(), null, null, 0, 0);
            Listening polled = new Listening(
                    List.of(),
                    new Listening.Poll(get, 2_000 * MILLIS),
                    null,
                    0,
                    0,
                    Listening.Resync.ANGLE,
                    List.of(),
                    Listening.QUEUE);
            List<String> answers = new ArrayList<>();
            Rack to = new Rack(hand.loop, List.of(Say.recorder(recorder.port())), List.of(polled), new Told() {
                @Override
                public void answer(int gear, long ticket, String body, long nanos) {
                    answers.add(ticket + " " + body);
                }

                @Override
                public void asked(int gear, long nanos) {
                    answers.add("asked");
                }
            });
            rack = to;
            to.start();
            hand.until(() -> answers.size() == 2);
            hand.pass(1_999);
            assertThat(recorder.received()).hasSize(1);
            hand.pass(1);
            hand.until(() -> answers.size() == 4);
            String body = "-1 {\"mode\":\"stop\",\"take\":\"\"}";
            assertThat(answers).containsExactly("asked", body, "asked", body);
        }
    }

    @Test
    void tellsOnceThatNobodyAnswersTheQuestion() throws IOException {
        try (StandInRecorder recorder = StandInRecorder.open()) {
            Payload get = new Payload.Http("GET", UriTemplate.parse("/nowhere"), Map.of(), null, null, 0, 0);
            Listening polled = new Listening(
                    List.of(),
                    new Listening.Poll(get, 1_000 * MILLIS),
                    null,
                    0,
                    0,
                    Listening.Resync.ANGLE,
                    List.of(),
                    Listening.QUEUE);
            GearSettings.Http patient = new GearSettings.Http(
                    "recorder", "127.0.0.1", recorder.port(), "", Map.of(), 60_000 * MILLIS, Say.stale());
            open(polled, patient);
            hand.until(() -> told.has("0 refused"));
            for (int i = 0; i < 500 && recorder.received().size() < 3; i++) {
                hand.pass(1_000);
                hand.loop.run(20 * MILLIS); // for the answer, which nobody is told of
            }
            assertThat(recorder.received()).hasSizeGreaterThanOrEqualTo(3);
            assertThat(told.count("0 refused -1 asked how it is: 404")).isEqualTo(1);
        }
    }

    @Test
    void leavesAQuestionThatIsOpenAtTheEnd() throws IOException {
        try (LinePeer mute = new LinePeer(line -> null)) {
            Payload get = new Payload.Http("GET", UriTemplate.parse("/transport"), Map.of(), null, null, 0, 0);
            Listening polled = new Listening(
                    List.of(),
                    new Listening.Poll(get, 1_000 * MILLIS),
                    null,
                    0,
                    0,
                    Listening.Resync.ANGLE,
                    List.of(),
                    Listening.QUEUE);
            Rack to = open(polled, Say.recorder(mute.port()));
            hand.until(() -> mute.heard.stream().anyMatch(line -> line.startsWith("GET /transport")));
            to.close();
            assertThat(told.count("0 refused") + told.count("0 silent")).isZero();
        }
    }

    private static Listening beating(@Nullable String expect) {
        Listening.Heartbeat beat = new Listening.Heartbeat(
                new Payload.Text(Template.parse("PING")),
                expect == null ? null : line(expect),
                5_000 * MILLIS,
                4_000 * MILLIS);
        return new Listening(List.of(), null, beat, 0, 0, Listening.Resync.ANGLE, List.of(), Listening.QUEUE);
    }

    @Test
    void saysNothingAboutAHeartThatBeats() throws IOException {
        try (LinePeer peer = new LinePeer(line -> line.equals("PING") ? "PONG\r\nTALLY" : null)) {
            open(beating("^PONG"), Say.mixer(peer.port(), LineEnd.CRLF));
            for (int beat = 1; beat <= 3; beat++) {
                int beats = beat;
                hand.pass(5_000);
                hand.until(() -> told.count("0 reply -1 TALLY") == beats);
            }
            assertThat(peer.heard).containsExactly("PING", "PING", "PING");
            assertThat(told.lines).hasSize(4).noneMatch(line -> line.contains("PONG") || line.contains("PING"));
        }
    }

    /** What it answers may say how it is; when it was asked tells how old that can be. */
    @Test
    void handsOverWhatTheHeartIsAnswered() throws IOException {
        List<String> heard = new ArrayList<>();
        try (LinePeer peer = new LinePeer(line -> "PONG 10:00:00:00")) {
            Rack to = new Rack(
                    hand.loop, List.of(Say.mixer(peer.port(), LineEnd.CRLF)), List.of(beating("^PONG")), new Told() {
                        @Override
                        public void answer(int gear, long ticket, String body, long nanos) {
                            heard.add(ticket + " " + body);
                        }

                        @Override
                        public void asked(int gear, long nanos) {
                            heard.add("asked");
                        }
                    });
            rack = to;
            to.start();
            hand.until(() -> to.isUp(0));
            hand.pass(5_000);
            hand.until(() -> heard.size() == 2);
            assertThat(heard).containsExactly("asked", "-1 PONG 10:00:00:00");
        }
    }

    @Test
    void takesAnyWordForASignOfLifeWhereNoneIsExpected() throws IOException {
        try (LinePeer peer = new LinePeer(line -> "ERR")) {
            open(beating(null), Say.mixer(peer.port(), LineEnd.CRLF));
            hand.pass(5_000);
            hand.until(() -> told.has("0 reply -1 ERR"));
            hand.pass(4_999);
            assertThat(told.count("0 LOST")).isZero();
        }
    }

    /** The socket stays open, and the kernel at the other side acknowledges every byte: only the program there is gone. */
    @Test
    void makesANewConnectionWhenTheHeartStops() throws IOException {
        AtomicInteger pings = new AtomicInteger();
        try (LinePeer peer = new LinePeer(line -> pings.incrementAndGet() == 2 ? null : "PONG\r\nTALLY")) {
            Rack to = open(beating("^PONG"), Say.mixer(peer.port(), LineEnd.CRLF));
            hand.pass(5_000);
            hand.until(() -> told.count("0 reply -1 TALLY") == 1);
            hand.pass(5_000);
            hand.until(() -> peer.heard.size() == 2);
            hand.pass(3_999);
            assertThat(told.count("0 LOST")).isZero();
            hand.pass(1);
            assertThat(told.lines).last().asString().contains("no answer to the heartbeat within 4000 ms");
            hand.pass(200);
            hand.until(() -> to.isUp(0) && peer.connected.size() == 2);
            assertThat(told.count("0 silent")).isZero();
        }
    }
}
