package instep.journal;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.LoggerContext;
import ch.qos.logback.classic.spi.Configurator;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.classic.spi.IThrowableProxy;
import ch.qos.logback.core.ConsoleAppender;
import ch.qos.logback.core.joran.spi.ConsoleTarget;
import ch.qos.logback.core.spi.ContextAwareBase;
import ch.qos.logback.core.status.NopStatusListener;

/**
 * The logging set-up of the whole program, which Logback finds by itself: warnings go to standard error, no file is searched for, no XML
 * is read, and Logback does not talk about itself.
 */
public final class LogConfiguration extends ContextAwareBase implements Configurator {
    /** For Logback, which makes one by its name. */
    public LogConfiguration() {}

    @Override
    public ExecutionStatus configure(LoggerContext loggerContext) {
        loggerContext.getStatusManager().add(new NopStatusListener());
        ConsoleAppender<ILoggingEvent> stderr = new ConsoleAppender<>();
        stderr.setContext(loggerContext);
        stderr.setName("standard-error");
        stderr.setTarget(ConsoleTarget.SystemErr.getName());
        stderr.setEncoder(new LineEncoder(loggerContext, LogConfiguration::line));
        stderr.start();
        Logger root = loggerContext.getLogger(org.slf4j.Logger.ROOT_LOGGER_NAME);
        root.setLevel(Level.WARN);
        root.addAppender(stderr);
        return ExecutionStatus.DO_NOT_INVOKE_NEXT_IF_ANY;
    }

    private static String line(ILoggingEvent event) {
        String text = event.getLevel() + " " + event.getLoggerName() + ": " + event.getFormattedMessage();
        IThrowableProxy cause = event.getThrowableProxy();
        return cause == null ? text : text + ": " + cause.getClassName() + ": " + cause.getMessage();
    }
}
