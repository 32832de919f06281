package instep.journal;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.spi.ILoggingEvent;
import java.io.FilterOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/** Standard output and standard error of a service: systemd's journal takes a priority before each line (sd-daemon(3): {@code <3>} an error, {@code <4>} a warning, {@code <6>} information), so that what needs attention can be found there. */
public final class ServiceOutput {
    private static final Path STANDARD_OUTPUT = Path.of("/proc/self/fd/1");
    private static final Path STANDARD_ERROR = Path.of("/proc/self/fd/2");

    private ServiceOutput() {}

    /** A line with its priority. */
    static String line(ILoggingEvent event) {
        return (event.getLevel() == Level.WARN ? "<4>" : "<6>") + event.getMessage();
    }

    /** From now on, what is said on standard error is an error there, if that is where it goes. */
    public static void markErrors() {
        if (isJournal(System.getenv("JOURNAL_STREAM"), STANDARD_ERROR)) {
            System.setErr(errors(System.err));
        }
    }

    /** Writes each line with its priority. */
    static PrintStream errors(OutputStream to) {
        return new PrintStream(new ErrorLines(to), true, StandardCharsets.UTF_8);
    }

    private static final class ErrorLines extends FilterOutputStream {
        private static final byte[] PRIORITY = "<3>".getBytes(StandardCharsets.US_ASCII);
        private boolean isInLine;

        private ErrorLines(OutputStream to) {
            super(to);
        }

        @Override
        public void write(int one) throws IOException {
            if (!isInLine) {
                out.write(PRIORITY);
            }
            out.write(one);
            isInLine = one != '\n';
        }
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
