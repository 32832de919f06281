package instep.desk;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.InetAddress;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** How quickly tokens are looked at, and what is told of wrong ones. */
class TurnstileTest {
    @Test
    void whoFloodsItFromOneAddressTakesThePlacesOfNobodyAtAnother() {
        Turnstile all = Turnstile.ofAll();
        Turnstile one = all.ofOne();
        Turnstile other = all.ofOne();
        for (int i = 0; i < 1_000; i++) {
            one.wrong(0);
        }
        assertThat(one.admits(0)).isFalse();
        for (int i = 0; i < Turnstile.MOST_WAITING_EACH; i++) {
            assertThat(one.waits()).isTrue();
        }
        assertThat(one.waits()).isFalse();
        assertThat(other.waits()).isTrue();
        one.waited();
        assertThat(one.waits()).isTrue();
        // All together are not more than there are places.
        for (int i = Turnstile.MOST_WAITING_EACH + 1; i < Turnstile.MOST_WAITING; i++) {
            assertThat(all.ofOne().waits()).isTrue();
        }
        assertThat(all.ofOne().waits()).isFalse();
    }

    @Test
    void tellsOfWrongTokensOnceWhenItIsClearAndOnceWhenItIsOver() throws Exception {
        List<String> told = new ArrayList<>();
        WrongTokens wrong = new WrongTokens(told::add);
        InetAddress one = InetAddress.getByName("192.0.2.7");
        InetAddress other = InetAddress.getByName("192.0.2.9");
        long nanos = -5;
        for (int i = 0; i < WrongTokens.SLIPS - 1; i++) {
            wrong.wrong(one, nanos);
        }
        nanos += WrongTokens.QUIET_NANOS;
        wrong.look(nanos);
        assertThat(told).isEmpty();
        for (int i = 0; i < 1_000; i++) {
            wrong.wrong(i % 4 == 0 ? other : one, nanos + i * Studio.SECOND / 10);
        }
        assertThat(told)
                .containsExactly(
                        "10 wrong tokens were tried at the desk page in 0 s: 7 from 192.0.2.7, 3 from 192.0.2.9."
                                + " Somebody guesses, or has an old one: where that is nobody of yours, take the page off that"
                                + " network or give it another token");
        wrong.look(nanos + WrongTokens.QUIET_NANOS);
        assertThat(told).hasSize(1);
        nanos += 2 * WrongTokens.QUIET_NANOS;
        wrong.look(nanos);
        wrong.look(nanos);
        assertThat(told)
                .hasSize(2)
                .last()
                .isEqualTo("1000 wrong tokens were tried at the desk page in 99 s:"
                        + " 750 from 192.0.2.7, 250 from 192.0.2.9, and none for 10 minutes now");
        assertThat(wrong.total()).isEqualTo(1_009);
    }

    @Test
    void givesTriesBackInTime() {
        Turnstile turnstile = Turnstile.ofAll();
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
        // Those that were looked at after they had waited put nobody off for longer.
        for (int i = 0; i < 1_000; i++) {
            turnstile.wrong(1_000 * Turnstile.NANOS_EACH);
        }
        assertThat(turnstile.admits(1_001 * Turnstile.NANOS_EACH)).isTrue();
    }
}
