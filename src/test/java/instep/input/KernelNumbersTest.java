package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import java.lang.reflect.Field;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The numbers of calls into the kernel against its own headers (Debian package linux-libc-dev), as the C compiler reads them. */
class KernelNumbersTest {
    private static final List<String> CALLS = List.of(
            "EVIOCGVERSION",
            "EVIOCSCLOCKID",
            "EVIOCGRAB",
            "HIDIOCGRAWINFO",
            "SNDRV_RAWMIDI_IOCTL_INFO",
            "SNDRV_RAWMIDI_IOCTL_USER_PVERSION",
            "SNDRV_RAWMIDI_IOCTL_PARAMS",
            "SNDRV_RAWMIDI_STREAM_INPUT");

    @TempDir
    Path folder;

    private List<String> printed(List<String> expressions) throws Exception {
        StringBuilder program = new StringBuilder(
                "#include <stddef.h>\n#include <stdio.h>\n#include <linux/hidraw.h>\n#include <linux/input.h>\n#include <sound/asound.h>\nint main(void) {\n");
        for (String expression : expressions) {
            program.append("printf(\"%lx\\n\", (unsigned long)(")
                    .append(expression)
                    .append("));\n");
        }
        Path source = Files.writeString(folder.resolve("numbers.c"), program.append("}\n"));
        Path binary = folder.resolve("numbers");
        Path said = folder.resolve("said");
        ProcessBuilder compiler = new ProcessBuilder("gcc", "-o", binary.toString(), source.toString());
        assertThat(compiler.inheritIO().start().waitFor()).isZero();
        assertThat(new ProcessBuilder(binary.toString())
                        .redirectOutput(said.toFile())
                        .start()
                        .waitFor())
                .isZero();
        return Files.readAllLines(said);
    }

    private static String ours(String name) throws ReflectiveOperationException {
        Field field = KernelNodes.class.getDeclaredField(name);
        field.setAccessible(true);
        return Long.toHexString(((Number) field.get(null)).longValue()).toLowerCase(Locale.ROOT);
    }

    @Test
    void eachCallHasTheNumberThatTheHeadersGiveIt() throws Exception {
        List<String> headers = printed(CALLS);
        for (int i = 0; i < CALLS.size(); i++) {
            assertThat(ours(CALLS.get(i))).as(CALLS.get(i)).isEqualTo(headers.get(i));
        }
    }

    @Test
    void theStructuresOfMidiAreLaidOutAsWritten() throws Exception {
        assertThat(printed(List.of(
                        "sizeof(struct snd_rawmidi_info)",
                        "offsetof(struct snd_rawmidi_info, subdevice)",
                        "offsetof(struct snd_rawmidi_info, stream)",
                        "sizeof(struct snd_rawmidi_params)",
                        "offsetof(struct snd_rawmidi_params, buffer_size)",
                        "offsetof(struct snd_rawmidi_params, avail_min)",
                        "offsetof(struct snd_rawmidi_params, mode)",
                        "SNDRV_RAWMIDI_MODE_FRAMING_TSTAMP | SNDRV_RAWMIDI_MODE_CLOCK_MONOTONIC",
                        "SNDRV_PROTOCOL_VERSION(2, 0, 2)",
                        "sizeof(struct snd_rawmidi_framing_tstamp)",
                        "offsetof(struct snd_rawmidi_framing_tstamp, data)")))
                .containsExactly("10c", "4", "8", "30", "8", "10", "1c", "11", "20002", "20", "10");
    }
}
