package instep.journal;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.spi.ILoggingEvent;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/** Standard output of a service: systemd's journal takes a priority before each line (sd-daemon(3): {@code <4>} a warning, {@code <6>} information), so that what needs attention can be found there. */
final class ServiceOutput {
    private static final Path STANDARD_OUTPUT = Path.of("/proc/self/fd/1");

    private ServiceOutput() {}

    /** A line with its priority. */
    static String line(ILoggingEvent event) {
        return (event.getLevel() == Level.WARN ? "<4>" : "<6>") + event.getMessage();
    }

    /**
     * Whether standard output goes there.
     *
     * @param stream the variable JOURNAL_STREAM: device and inode of what systemd has connected (systemd.exec(5)); others may have inherited it
     */
    static boolean isJournal(@Nullable String stream) {
        return isJournal(stream, STANDARD_OUTPUT);
    }

    static boolean isJournal(@Nullable String stream, Path output) {
        if (stream == null) {
            return false;
        }
        try {
            return stream.equals(Files.getAttribute(output, "unix:dev") + ":" + Files.getAttribute(output, "unix:ino"));
        } catch (IOException | UnsupportedOperationException e) {
            return false;
        }
    }
}
