package instep.journal;

import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.Context;
import ch.qos.logback.core.encoder.EncoderBase;
import java.nio.charset.StandardCharsets;
import java.util.function.Function;

/**
 * A line of a log as bytes. Logback's patterns would do the same, but bring seventy converters into each start and are followed anew for each line.
 */
final class LineEncoder extends EncoderBase<ILoggingEvent> {
    private static final byte[] NOTHING = {};

    private final Function<ILoggingEvent, String> line;

    /** {@code line}: what it says, without its end. */
    LineEncoder(Context context, Function<ILoggingEvent, String> line) {
        this.line = line;
        setContext(context);
        start();
    }

    @Override
    public byte[] headerBytes() {
        return NOTHING;
    }

    @Override
    public byte[] encode(ILoggingEvent event) {
        return (line.apply(event) + '\n').getBytes(StandardCharsets.UTF_8);
    }

    @Override
    public byte[] footerBytes() {
        return NOTHING;
    }
}
