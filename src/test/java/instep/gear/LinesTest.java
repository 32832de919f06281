package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.Unpooled;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class LinesTest {
    private final List<String> heard = new ArrayList<>();
    private final Lines lines = new Lines(heard::add);

    @Test
    void endAtLfCrLfOrCrHoweverTheyArrive() {
        byte[] all = "OK CUT 1\r\nONAIR 1\nERR what\rbereit: Töpfe\r\n\r\n".getBytes(StandardCharsets.UTF_8);

        for (int cut = 0; cut <= all.length; cut++) {
            heard.clear();
            assertThat(lines.take(Unpooled.wrappedBuffer(all, 0, cut))).isTrue();
            assertThat(lines.take(Unpooled.wrappedBuffer(all, cut, all.length - cut)))
                    .isTrue();
            assertThat(heard).as("cut at %d", cut).containsExactly("OK CUT 1", "ONAIR 1", "ERR what", "bereit: Töpfe");
        }
    }

    @Test
    void waitForTheirEnd() {
        lines.take(utf8("ONAIR"));

        assertThat(heard).isEmpty();
    }

    @Test
    void mayBeEightKibibytesLongAndNoLonger() {
        assertThat(lines.take(utf8("a".repeat(8192)))).isTrue();
        assertThat(lines.take(utf8("\n"))).isTrue();
        assertThat(heard).containsExactly("a".repeat(8192));

        assertThat(lines.take(utf8("a".repeat(8193)))).isFalse();
    }

    @Test
    void cannotMoveTheCursorOfATerminal() {
        lines.take(utf8("ONAIR \u001b[2J\u00002\u009b1m\tok\n"));

        assertThat(heard).containsExactly("ONAIR \ufffd[2J\ufffd2\ufffd1m\tok");
    }

    private static ByteBuf utf8(String text) {
        return Unpooled.copiedBuffer(text, StandardCharsets.UTF_8);
    }
}
