package instep.input;

import io.netty.channel.unix.FileDescriptor;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Path;

/**
 * A pipe that carries key events as the kernel writes them, for {@link Devices#attach}: scan code, key, report. Not
 * thread-safe.
 */
public final class KeyPipe implements AutoCloseable {
    private static final int EV_KEY = 1;
    private static final int EV_MSC = 4;
    private static final int MSC_SCAN = 4;

    private final int readEnd;
    private final FileDescriptor writeEnd;
    private final ByteBuffer group =
            ByteBuffer.allocateDirect(3 * EvdevDecoder.EVENT_BYTES).order(ByteOrder.nativeOrder());

    private KeyPipe(int readEnd, FileDescriptor writeEnd) {
        this.readEnd = readEnd;
        this.writeEnd = writeEnd;
    }

    /** Makes a pipe whose ends do not block. */
    public static KeyPipe open() throws IOException {
        int[] ends = new int[2];
        if (Libc.pipe2(ends, Libc.O_NONBLOCK | Libc.O_CLOEXEC) < 0) {
            throw new IOException("pipe2: " + Libc.words(Libc.errno()));
        }
        return new KeyPipe(ends[0], new FileDescriptor(ends[1]));
    }

    /** Writes into a named pipe (mkfifo(3)) that somebody reads already. */
    public static KeyPipe into(Path fifo) throws IOException {
        return new KeyPipe(-1, FileDescriptor.from(fifo.toFile()));
    }

    /** The descriptor to read from, where this has made the pipe; whoever reads it closes it. */
    public int readEnd() {
        return readEnd;
    }

    /** Writes one change of a key, stamped to the microsecond as the kernel does. */
    public void key(int code, boolean closed, long nanos) throws IOException {
        group.clear();
        put(nanos, EV_MSC, MSC_SCAN, code);
        put(nanos, EV_KEY, code, closed ? 1 : 0);
        put(nanos, 0, 0, 0);
        if (writeEnd.write(group, 0, group.position()) != group.position()) {
            throw new IOException("the pipe is full: nobody reads it");
        }
    }

    private void put(long nanos, int type, int code, int value) {
        group.putLong(nanos / 1_000_000_000L).putLong(nanos % 1_000_000_000L / 1_000L);
        group.putShort((short) type).putShort((short) code).putInt(value);
    }

    /** Closes the end that is written to; to the reader the device vanishes. */
    @Override
    public void close() throws IOException {
        writeEnd.close();
    }
}
