package instep.input;

import io.netty.channel.IoEventLoop;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * A named pipe into which another program writes, such as a sound card's recorder. It is made if it is not there, read on the loop without ever waiting, and opened again
 * when the writer has gone. Loop thread only.
 */
public final class PcmPipe implements AutoCloseable {
    /** Who gets what comes. */
    public interface Listener {
        /** These bytes were there at that monotonic instant; the buffer is only lent. */
        void received(ByteBuffer bytes, long nanos);

        /** The writer has gone. */
        void ended(long nanos);

        /** The pipe cannot be read, and why; it is tried again. Told once for each reason. */
        void trouble(String sentence);
    }

    /** Small, so that a press never waits long behind it. */
    private static final int BUFFER_BYTES = 4_096;

    private static final int RETRY_SECONDS = 2;
    /** For the one who runs this; whoever else writes makes the pipe beforehand. */
    private static final int MODE = 0600;

    private final IoEventLoop loop;
    private final Path path;
    private final Listener listener;
    private final ByteBuffer buffer = ByteBuffer.allocateDirect(BUFFER_BYTES);
    private @Nullable LoopSource source;
    private @Nullable String told;
    private boolean closed;

    /** Not read yet. */
    public PcmPipe(IoEventLoop loop, Path path, Listener listener) {
        this.loop = loop;
        this.path = path;
        this.listener = listener;
    }

    /** Begins to read, now or as soon as it can. */
    public void start() {
        if (closed) {
            return;
        }
        try {
            source = LoopSource.start(loop, open(), new Bytes(), this::gone);
            told = null;
        } catch (IOException e) {
            String why = "the pipe " + path + " cannot be read: " + e.getMessage();
            if (!why.equals(told)) {
                told = why;
                listener.trouble(why);
            }
            startLater();
        }
    }

    @SuppressWarnings("FutureReturnValueIgnored")
    private void startLater() {
        loop.schedule(this::start, RETRY_SECONDS, TimeUnit.SECONDS);
    }

    /** Opening a pipe in this way does not wait for a writer. */
    private int open() throws IOException {
        if (Libc.mkfifo(path.toString(), MODE) < 0 && Libc.errno() != Libc.EEXIST) {
            throw new IOException("it cannot be made: " + Libc.words(Libc.errno()));
        }
        if (Files.isRegularFile(path) || Files.isDirectory(path)) {
            throw new IOException("it is no named pipe (mkfifo)");
        }
        int fd = Libc.open(path.toString(), Libc.O_RDONLY | Libc.O_NONBLOCK | Libc.O_CLOEXEC);
        if (fd < 0) {
            throw new IOException(Libc.words(Libc.errno()));
        }
        return fd;
    }

    /** The next one is opened before the last is closed, so that a writer that comes in between has a reader all the time. */
    private void gone(LoopSource old) {
        start();
        old.closeDescriptor();
    }

    /** Lets go of the pipe. */
    @Override
    public void close() {
        closed = true;
        if (source != null) {
            source.close();
            source = null;
        }
    }

    private final class Bytes implements LoopSource.Reading {
        @Override
        public ByteBuffer buffer() {
            return buffer.clear();
        }

        @Override
        public void received(int bytes) {
            listener.received(buffer.limit(bytes), System.nanoTime());
        }

        @Override
        public void vanished(long nanos) {
            listener.ended(nanos);
        }
    }
}
