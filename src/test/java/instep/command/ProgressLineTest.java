package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.Test;

class ProgressLineTest {
    private static final long SECOND = 1_000_000_000L;

    private final ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    private final PrintStream out = new PrintStream(bytes, true, StandardCharsets.UTF_8);
    private final AtomicLong now = new AtomicLong(5 * SECOND);

    private String said() {
        return bytes.toString(StandardCharsets.UTF_8).replace("\r\n", "\n");
    }

    @Test
    void saysALineForEachTenthWhereThereIsNoTerminal() {
        ProgressLine line = new ProgressLine(out, false, now::get, 1000);
        for (int i = 0; i < 1000; i += 50) {
            now.addAndGet(3 * SECOND);
            line.done(50, false);
        }
        line.end();
        assertThat(said().lines())
                .hasSize(10)
                .startsWith(" 10 %, 0:55 left", " 20 %, 0:49 left")
                .endsWith("100 %, sound and end");
    }

    @Test
    void drawsABarOnOneLineOfATerminalNotTooOften() {
        ProgressLine line = new ProgressLine(out, true, now::get, 40_000);
        line.done(0, false);
        for (int i = 0; i < 10_000; i++) {
            now.addAndGet(SECOND);
            line.done(1, false);
        }
        assertThat(List.of(said().split("\r", -1)))
                .hasSize(10_002)
                .last()
                .asString()
                .startsWith("[#######-----------------------]  25 %, 8:20:01 left");
        int before = said().length();
        now.addAndGet(SECOND / 10);
        line.done(1, false);
        assertThat(said()).hasSize(before);
        line.done(29_999, false);
        line.end();
        assertThat(said())
                .endsWith("[##############################] 100 %, sound and end   " + System.lineSeparator());
    }

    @Test
    void doesNotJudgeTheTimeByWhatWasThereBefore() {
        ProgressLine line = new ProgressLine(out, false, now::get, 1000);
        line.done(500, true);
        now.addAndGet(10 * SECOND);
        line.done(100, false);
        assertThat(said()).isEqualTo(" 50 %" + System.lineSeparator() + " 60 %, 0:41 left" + System.lineSeparator());
    }
}
