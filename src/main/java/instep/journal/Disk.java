package instep.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;

/** What a journal asks of a disk; the real one does it, that of a rig may fail, stall, or watch. */
public interface Disk {
    /** The real one. */
    Disk REAL = new Disk() {};

    /** Writes some of the bytes at a position and tells how many. */
    default int write(FileChannel file, ByteBuffer bytes, long position) throws IOException {
        return file.write(bytes, position);
    }

    /** Returns when all that was written survives a power cut. */
    default void force(FileChannel file) throws IOException {
        file.force(false);
    }
}
