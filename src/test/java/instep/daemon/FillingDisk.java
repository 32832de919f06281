package instep.daemon;

import instep.journal.Disk;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;

/** A disk that takes nothing while it is full; from any thread. */
final class FillingDisk implements Disk {
    private volatile boolean isFull;

    /** There is room no more, or again. */
    void full(boolean now) {
        isFull = now;
    }

    @Override
    public int write(FileChannel file, ByteBuffer bytes, long position) throws IOException {
        if (isFull) {
            throw new IOException("No space left on device");
        }
        return Disk.super.write(file, bytes, position);
    }
}
