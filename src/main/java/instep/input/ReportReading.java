package instep.input;

import java.nio.ByteBuffer;

/** Raw reports of one device as contacts. The kernel gives no time for them, so it is the time of reading. */
final class ReportReading implements LoopSource.Reading {
    private final ByteBuffer buffer = ByteBuffer.allocateDirect(ReportDecoder.LONGEST);
    private final ReportDecoder decoder;

    ReportReading(ReportLayout layout, InputListener listener) {
        decoder = new ReportDecoder(layout.contacts(), listener);
    }

    @Override
    public ByteBuffer buffer() {
        return buffer;
    }

    @Override
    public void received(int bytes) {
        decoder.report(buffer, bytes, System.nanoTime());
    }

    @Override
    public void vanished(long nanos) {
        decoder.vanished(nanos);
    }
}
