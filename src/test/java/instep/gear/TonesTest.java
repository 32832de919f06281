package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** An audio output that notes what it is given in place of playing it. */
class TonesTest {
    private static final Payload.Tone POP = new Payload.Tone(1_000, 40_000_000, -20);

    private final Told told = new Told();
    private final HandLoop hand = new HandLoop(HandLoop.Kind.NIO);
    private final List<byte[]> played = Collections.synchronizedList(new ArrayList<>());
    private volatile String trouble = "";
    private final CountDownLatch silence = new CountDownLatch(1);
    private volatile boolean isHeldUp;
    private final SlowLink link = new SlowLink(
            new GearSettings.Sound("speaker", "default", 300_000_000L),
            new SoundEncoder(),
            this::open,
            Net.of(hand.loop),
            new Report(told, 0));

    private SlowOutput.Opened open() throws UnfitException {
        if (trouble.equals("none")) {
            throw new UnfitException("there is no audio output here");
        }
        return new SlowOutput.Opened() {
            @Override
            public String greeting() {
                return "the output is open";
            }

            @Override
            public SlowOutput.Taken take(ByteBuffer samples) throws IOException {
                if (trouble.equals("gone")) {
                    throw new IOException("it plays nothing");
                }
                byte[] copy = new byte[samples.remaining()];
                samples.get(copy);
                played.add(copy);
                if (isHeldUp) {
                    standStill(silence);
                }
                return new SlowOutput.Taken(77, "its first sample was number 4800");
            }

            @Override
            public void close() {
                // Nothing to give back.
            }
        };
    }

    private static void standStill(CountDownLatch latch) {
        try {
            latch.await();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    @AfterEach
    void close() {
        silence.countDown();
        link.close();
        hand.close();
    }

    @Test
    void playsATwoPopAndSaysWhichSampleWasItsFirst() {
        up();
        link.send(POP, Say.NOTHING, 7);
        hand.until(() -> told.has("0 reply"));

        assertThat(played).containsExactly(Tone.samples(POP));
        assertThat(told.lines)
                .containsExactly(
                        "0 UP the output is open",
                        "0 sent 7 tone of 1000 Hz, 40 ms, -20 dBFS",
                        "0 reply 7 its first sample was number 4800");
        assertThat(told.sentAt).containsExactly(77L);
        assertThat(link.isQuiet()).isTrue();
    }

    @Test
    void missesWhatWouldComeTooLateBehindAnotherTone() {
        up();
        isHeldUp = true;
        link.send(POP, Say.NOTHING, 1);
        link.send(POP, Say.NOTHING, 2);
        hand.pass(Say.STALE_MILLIS);
        silence.countDown();
        hand.until(() -> told.has("0 reply 1"));

        assertThat(told.lines)
                .contains("0 missed 2 tone of 1000 Hz, 40 ms, -20 dBFS: the message before it has not been taken");
        assertThat(played).hasSize(1);
    }

    @Test
    void triesAgainAfterTheOutputIsGone() {
        up();
        trouble = "gone";
        link.send(POP, Say.NOTHING, 1);
        hand.until(() -> told.has("0 LOST"));
        assertThat(told.lines)
                .contains(
                        "0 missed 1 tone of 1000 Hz, 40 ms, -20 dBFS: it plays nothing",
                        "0 LOST sound default: it plays nothing");

        trouble = "";
        hand.passUntil(10_000, link::isUp);
        link.send(POP, Say.NOTHING, 2);
        hand.until(() -> told.has("0 sent 2"));
    }

    @Test
    void saysOnceThatThereIsNoOutputAndMissesWhatItIsTold() {
        trouble = "none";
        link.start();
        hand.until(() -> told.has("0 LOST"));
        link.send(POP, Say.NOTHING, 1);
        hand.pass(Say.STALE_MILLIS);

        assertThat(told.count("0 LOST there is no audio output here")).isEqualTo(1);
        assertThat(told.lines).contains("0 missed 1 tone of 1000 Hz, 40 ms, -20 dBFS: there is no audio output here");
    }

    @Test
    void takesNothingButTones() {
        up();
        link.send(new Payload.Bytes("00"), Say.NOTHING, 1);

        assertThat(told.lines).contains("0 missed 1 speaker: an audio output takes tones, nothing else");
    }

    private void up() {
        link.start();
        hand.until(link::isUp);
    }
}
