package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/** Writes down what it is told, for another thread to read. */
final class Recorder implements InputListener {
    private final BlockingQueue<String> told = new LinkedBlockingQueue<>();
    volatile long nanos;

    @Override
    public void edge(int contact, boolean closed, boolean lost, long at) {
        nanos = at;
        told.add("edge " + contact + (closed ? " closed" : lost ? " lost" : " open"));
    }

    @Override
    public void device(int pedal, DeviceState state, String detail, long at) {
        told.add("device " + pedal + " " + state + ": " + detail);
    }

    @Override
    public void moved(int contact, double share, long at) {
        told.add("moved " + contact + " " + share);
    }

    @Override
    public void oddity(int pedal, String sentence, long at) {
        told.add("odd " + pedal + ": " + sentence);
    }

    /** The next that is told, waited for. */
    String next() throws InterruptedException {
        @Nullable String text = told.poll(10, TimeUnit.SECONDS);
        return text == null ? "nothing in 10 s" : text;
    }

    void expect(String... texts) throws InterruptedException {
        for (String text : texts) {
            assertThat(next()).isEqualTo(text);
        }
    }

    void expectNothingMore() {
        assertThat(told).isEmpty();
    }
}
