package instep.rehearsal;

import static org.assertj.core.api.Assertions.assertThat;

import instep.daemon.Loop;
import instep.gesture.Contact;
import instep.gesture.Timing;
import instep.input.InputListener;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

class KeyboardTest {
    private final Loop loop = Loop.open(1);
    private final List<String> edges = new CopyOnWriteArrayList<>();
    private final InputListener listener = new InputListener() {
        @Override
        public void edge(int contact, boolean closed, boolean lost, long nanos) {
            edges.add(contact + (closed ? " close" : " open"));
        }

        @Override
        public void device(int pedal, DeviceState state, String detail, long nanos) {
            edges.add("device");
        }
    };
    private final Keyboard keyboard = new Keyboard(
            List.of(new Contact("floor", "left", Timing.DEFAULT), new Contact("floor", "right", Timing.DEFAULT)),
            loop,
            listener);

    @AfterEach
    void close() {
        loop.close();
    }

    private void awaitEdges(String... expected) {
        Awaitility.await()
                .atMost(20, TimeUnit.SECONDS)
                .untilAsserted(() -> assertThat(edges).containsExactly(expected));
    }

    @Test
    void pressesForAMoment() {
        assertThat(keyboard.type("2")).isEmpty();
        awaitEdges("1 close", "1 open");
    }

    @Test
    void keepsDownAndLetsGo() {
        assertThat(keyboard.type("1+2+")).isEmpty();
        assertThat(keyboard.type("1- 2-")).isEmpty();
        awaitEdges("0 close", "1 close", "0 open", "1 open");
    }

    @Test
    void saysWhatIsWrongAndDoesNothing() {
        assertThat(keyboard.type("1 3")).isEqualTo("There is no contact 3.");
        assertThat(keyboard.type("x")).startsWith("Only digits from 1 to 2");
        assertThat(keyboard.type("")).isEmpty();
        assertThat(edges).isEmpty();
    }

    @Test
    void namesEachContactByItsDigit() {
        assertThat(keyboard.legend()).contains("1 floor.left, 2 floor.right");
    }
}
