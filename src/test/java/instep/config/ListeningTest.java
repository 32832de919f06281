package instep.config;

import static org.assertj.core.api.Assertions.assertThat;

import instep.gear.JsonPointer;
import instep.gear.Listening;
import instep.gear.Match;
import instep.gear.Message;
import instep.gear.Payload;
import instep.gear.ReplyPattern;
import instep.machine.Template;
import java.util.Map;
import java.util.Objects;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** How gear is listened to, and messages of several steps. */
class ListeningTest {
    private static final long MILLIS = 1_000_000L;
    private static final String MAPPING = """
            instep: 1
            timecode: { rate: 25 }
            gear:
              mixer:
                tcp: 192.0.2.10:9701
                heartbeat: { send: PING, every: 3s, expect: "^PONG" }
                resync: hello
                queue: 3
                replies:
                  - { line: "^ONAIR (?<angle>\\\\w+)$", on-air: "{angle}" }
                  - { line: "^PGM (?<angle>\\\\d) (?<next>\\\\d)$", on-air: { "1": wide }, event: mixer.cut, set: { next: "{next}", cued: true } }
              recorder:
                http: http://192.0.2.11:9702
                poll: { get: /status, headers: { X-A: b }, every: 1s }
                roll-within: 12f
                resync: none
                replies:
                  - { pointer: /a/0, equals: 3, rolling: true }
              lamp: { osc: udp 192.0.2.12:9703, replies: [{ osc: /ok, event: lamp.ok }] }
            angles: { wide: { reel: WIDE, cut: { mixer: "CUT 1" } } }
            messages:
              hello: { mixer: HELLO }
              roll:
                - mixer: { text: ARM, expect: "^OK", retry: 2, repeatable: true }
                - lamp: { osc: /on }
                - wait: 120ms
                - mixer: { text: GO, expect: { line: "^OK", within: 2s } }
                - { wait: 80ms, mixer: LAST, lamp: { osc: /go, expect: { osc: /ok } } }
                - recorder: { put: /t, json: { a: 1 }, expect: { status: 201, pointer: /a, equals: 1, within: 4s }, retry: 1 }
            machine:
              states:
                standby: { on: { mixer.cut: { cond: { next: "2", cued: false } }, lamp.ok: { mark: ok }, recorder.stopped: { mark: gone } } }
            """;

    private static Settings settings;

    @BeforeAll
    static void read() throws ConfigException {
        settings = ConfigReader.parse("lesson.yaml", MAPPING, TestKeys.CODES);
    }

    private static Listening of(int gear) {
        return settings.listening().get(gear);
    }

    private static Message.Step step(int number) {
        return settings.messages().get(1).steps().get(number);
    }

    @Test
    void readsPatternsWithWhatFollows() {
        ReplyPattern plain = of(0).replies().get(0);
        assertThat(plain.onAir()).isEqualTo(new ReplyPattern.AngleName(Template.parse("{angle}"), Map.of()));
        ReplyPattern full = of(0).replies().get(1);
        assertThat(full.event()).isEqualTo("mixer.cut");
        assertThat(full.set()).isEqualTo(Map.of("next", Template.parse("{next}"), "cued", Template.parse("true")));
        assertThat(full.onAir()).isEqualTo(new ReplyPattern.AngleName(Template.parse("{angle}"), Map.of("1", "wide")));
        assertThat(full.rolling()).isNull();
        assertThat(of(1).replies().get(0).match())
                .isEqualTo(new Match.Pointer(JsonPointer.parse("/a/0").orElseThrow(), "3"));
        assertThat(of(1).replies().get(0).rolling()).isTrue();
        assertThat(of(2).replies().get(0).match()).isEqualTo(new Match.Address("/ok"));
    }

    @Test
    void readsHeartbeatPollAndResync() {
        Listening.Heartbeat beat = Objects.requireNonNull(of(0).heartbeat());
        assertThat(beat.everyNanos()).isEqualTo(3_000 * MILLIS);
        assertThat(beat.withinNanos()).isEqualTo(2_000 * MILLIS);
        assertThat(beat.payload()).isEqualTo(new Payload.Text(Template.parse("PING")));
        Listening.Poll poll = Objects.requireNonNull(of(1).poll());
        assertThat(poll.everyNanos()).isEqualTo(1_000 * MILLIS);
        assertThat(((Payload.Http) poll.payload()).headers()).containsKey("X-A");
        assertThat(of(0).resync()).isEqualTo(new Listening.Resync(false, "hello"));
        assertThat(of(1).resync()).isEqualTo(Listening.Resync.NONE);
        assertThat(of(2).resync()).isEqualTo(Listening.Resync.ANGLE);
        assertThat(of(1).rollWithinNanos()).isEqualTo(480 * MILLIS); // 12 frames at 25 a second
    }

    @Test
    void readsHowManyMessagesMayWait() {
        assertThat(of(0).queue()).isEqualTo(3);
        assertThat(of(1).queue()).isEqualTo(64);
    }

    /** A wait holds back all that stands behind it, whichever gear it is for. */
    @Test
    void readsStepsWithTheirWaitsPerGear() {
        assertThat(step(0).retries()).isEqualTo(2);
        assertThat(step(1).waitNanos()).isZero();
        assertThat(step(2).waitNanos()).isEqualTo(120 * MILLIS);
        assertThat(Objects.requireNonNull(step(2).expect()).withinNanos()).isEqualTo(2_000 * MILLIS);
        assertThat(step(3).waitNanos()).isEqualTo(80 * MILLIS);
        assertThat(step(4).waitNanos()).as("for the lamp").isEqualTo(200 * MILLIS);
        assertThat(Objects.requireNonNull(step(4).expect()).match()).isEqualTo(new Match.Address("/ok"));
        assertThat(step(5).waitNanos()).as("for the recorder").isEqualTo(200 * MILLIS);
    }

    @Test
    void readsWhatARequestExpectsInItsTwoParts() {
        Payload.Http put = (Payload.Http) step(5).payload();
        assertThat(put.expectStatus()).isEqualTo(201);
        assertThat(put.withinNanos()).isEqualTo(4_000 * MILLIS);
        assertThat(Objects.requireNonNull(step(5).expect()).match())
                .isEqualTo(new Match.Pointer(JsonPointer.parse("/a").orElseThrow(), "1"));
        assertThat(step(5).retries()).isEqualTo(1);
    }

    @Test
    void knowsACutFromAMessage() {
        assertThat(settings.angles().get(0).cut().isCut()).isTrue();
        assertThat(settings.messages()).noneMatch(Message::isCut);
    }
}
