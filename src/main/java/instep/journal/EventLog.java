package instep.journal;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.LoggerContext;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.Appender;
import ch.qos.logback.core.ConsoleAppender;
import ch.qos.logback.core.rolling.RollingFileAppender;
import ch.qos.logback.core.rolling.SizeAndTimeBasedRollingPolicy;
import ch.qos.logback.core.util.FileSize;
import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import org.slf4j.LoggerFactory;

/**
 * The log for people: {@code events.log} in the journal's folder, and standard output if asked. A new file begins each day and at 10 MB;
 * 30 days are kept, at most 200 MB. One at a time in a process. Writing is for the journal's thread.
 */
public final class EventLog implements Consumer<String>, Closeable {
    /** The name of the file that is being written. */
    public static final String FILE = "events.log";

    private static final String LOGGER = "instep.events";
    private static final String OLDER = "events-%d{yyyy-MM-dd}.%i.log";
    private static final String MOST = "10MB";
    private static final int DAYS = 30;

    private final LoggerContext context;
    private final Logger logger;
    private final List<Appender<ILoggingEvent>> appenders = new ArrayList<>();

    private EventLog(LoggerContext context) {
        this.context = context;
        this.logger = context.getLogger(LOGGER);
    }

    /**
     * Begins to log in a folder, which is made if it is not there.
     *
     * @param toStandardOutput whether each line goes there, too
     * @throws JournalException if the file cannot be written
     */
    public static EventLog open(Path folder, boolean toStandardOutput) throws JournalException {
        return open(folder, toStandardOutput, ServiceOutput.isJournal(System.getenv("JOURNAL_STREAM")));
    }

    /** The same; {@code priorities}: what reads standard output takes a priority before each line (sd-daemon(3)). */
    static EventLog open(Path folder, boolean toStandardOutput, boolean priorities) throws JournalException {
        return open(folder, toStandardOutput, priorities, MOST);
    }

    /** The same; a new file begins where one has reached that size, as Logback writes it. */
    static EventLog open(Path folder, boolean toStandardOutput, boolean priorities, String most)
            throws JournalException {
        EventLog log = new EventLog((LoggerContext) LoggerFactory.getILoggerFactory());
        log.logger.setAdditive(false);
        log.logger.setLevel(Level.INFO);
        log.add(log.file(folder, most));
        if (toStandardOutput) {
            log.add(log.console(priorities));
        }
        return log;
    }

    /** Writes a line. */
    @Override
    public void accept(String line) {
        if (line.startsWith(EventColumns.ATTENTION, EventColumns.MARK_AT)) {
            logger.warn(line);
        } else {
            logger.info(line);
        }
    }

    @Override
    public void close() {
        for (Appender<ILoggingEvent> appender : appenders) {
            logger.detachAppender(appender);
            appender.stop();
        }
    }

    private void add(Appender<ILoggingEvent> appender) {
        appenders.add(appender);
        logger.addAppender(appender);
    }

    private Appender<ILoggingEvent> file(Path folder, String most) throws JournalException {
        JournalFolder.make(folder);
        Path file = folder.resolve(FILE);
        try {
            // Logback would only note in its own status list that it cannot write.
            Files.newOutputStream(file, StandardOpenOption.CREATE, StandardOpenOption.APPEND)
                    .close();
        } catch (IOException e) {
            throw JournalException.unwritable(folder, e);
        }
        RollingFileAppender<ILoggingEvent> appender = new RollingFileAppender<>();
        appender.setContext(context);
        appender.setName("events");
        appender.setFile(file.toString());
        appender.setEncoder(new LineEncoder(context, ILoggingEvent::getMessage));
        SizeAndTimeBasedRollingPolicy<ILoggingEvent> rolling = rolling(folder, most);
        rolling.setParent(appender);
        rolling.start();
        appender.setRollingPolicy(rolling);
        appender.start();
        return appender;
    }

    private SizeAndTimeBasedRollingPolicy<ILoggingEvent> rolling(Path folder, String most) {
        SizeAndTimeBasedRollingPolicy<ILoggingEvent> rolling = new SizeAndTimeBasedRollingPolicy<>();
        rolling.setContext(context);
        rolling.setFileNamePattern(folder.resolve(OLDER).toString());
        rolling.setMaxFileSize(FileSize.valueOf(most));
        rolling.setMaxHistory(DAYS);
        rolling.setTotalSizeCap(FileSize.valueOf("200MB"));
        return rolling;
    }

    private Appender<ILoggingEvent> console(boolean priorities) {
        ConsoleAppender<ILoggingEvent> appender = new ConsoleAppender<>();
        appender.setContext(context);
        appender.setName("standard-output");
        appender.setEncoder(new LineEncoder(context, priorities ? ServiceOutput::line : ILoggingEvent::getMessage));
        appender.start();
        return appender;
    }
}
