package instep.clock;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import instep.clock.KernelClock.State;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class KernelClockTest {
    /** The bits of {@code status} in the kernel's linux/timex.h: STA_UNSYNC is 0x0040, STA_PLL 0x0001, STA_NANO 0x2000, STA_INS 0x0010. */
    @ParameterizedTest
    @CsvSource({"0x0040, UNSYNCHRONIZED", "0x2041, UNSYNCHRONIZED", "0x2001, SYNCHRONIZED", "0x0010, SYNCHRONIZED"})
    void knowsTheBitOfAClockThatNobodyKeepsRight(String status, State state) {
        assertThat(KernelClock.of(Integer.decode(status), 7).state()).isEqualTo(state);
    }

    @Test
    void knowsTheLargestErrorOnlyOfAClockThatIsKept() {
        assertThat(KernelClock.of(0x2001, 12_345).maxErrorMicros()).isEqualTo(12_345);
        assertThat(KernelClock.of(0x2041, 16_000_000).maxErrorMicros()).isNegative();
    }

    /** Python's ctypes, with the structure of adjtimex(2), asks the same kernel. */
    @Test
    void saysWhatTheKernelSays() throws IOException {
        String script = """
                import ctypes
                class Timex(ctypes.Structure):
                    _fields_ = [('modes', ctypes.c_uint), ('offset', ctypes.c_long), ('freq', ctypes.c_long),
                        ('maxerror', ctypes.c_long), ('esterror', ctypes.c_long), ('status', ctypes.c_int),
                        ('room', ctypes.c_byte * 256)]
                timex = Timex()
                answer = ctypes.CDLL(None).adjtimex(ctypes.byref(timex))
                print('UNKNOWN' if answer < 0 else 'UNSYNCHRONIZED' if timex.status & 0x40 else 'SYNCHRONIZED', timex.maxerror)
                """;
        Process python = new ProcessBuilder("python3", "-c", script).start();
        String said = new String(python.getInputStream().readAllBytes(), StandardCharsets.UTF_8).strip();
        KernelClock.Reading reading = KernelClock.read();
        assertThat(reading.state()).hasToString(said.split(" ")[0]);
        // The kernel adds 500 us to it each second until somebody corrects the clock (RFC 5905, section 4: PHI is 15
        // ppm there, 500 in Linux).
        if (reading.state() == State.SYNCHRONIZED) {
            assertThat(reading.maxErrorMicros()).isCloseTo(Long.parseLong(said.split(" ")[1]), within(5_000L));
        } else {
            assertThat(reading.maxErrorMicros()).isNegative();
        }
    }
}
