package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.concurrent.TimeUnit;
import java.util.stream.LongStream;
import org.junit.jupiter.api.Test;

class BackoffTest {
    @Test
    void doublesFromATenthOfASecondToFiveSeconds() {
        Backoff backoff = new Backoff(() -> 1);

        assertThat(millis(backoff, 8)).containsExactly(100, 200, 400, 800, 1600, 3200, 5000, 5000);
    }

    @Test
    void isShortenedAtRandomByUpToHalf() {
        assertThat(millis(new Backoff(() -> 0), 8)).containsExactly(50, 100, 200, 400, 800, 1600, 2500, 2500);
        assertThat(millis(new Backoff(() -> 0.5), 3)).containsExactly(75, 150, 300);
    }

    @Test
    void beginsAgainAfterAReset() {
        Backoff backoff = new Backoff(() -> 1);
        millis(backoff, 5);

        backoff.reset();

        assertThat(millis(backoff, 2)).containsExactly(100, 200);
    }

    private static long[] millis(Backoff backoff, int times) {
        return LongStream.generate(backoff::nextNanos)
                .limit(times)
                .map(TimeUnit.NANOSECONDS::toMillis)
                .toArray();
    }
}
