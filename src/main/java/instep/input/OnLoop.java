package instep.input;

import io.netty.channel.IoEventLoop;
import io.netty.util.concurrent.Future;

/** A task done on the loop thread, and waited for if this is another one. */
final class OnLoop {
    /** What is to be done. */
    interface Task<E extends Exception> {
        void run() throws E;
    }

    private OnLoop() {}

    /** Throws what the task throws. */
    static <E extends Exception> void run(IoEventLoop loop, Task<E> task) throws E {
        if (loop.inEventLoop()) {
            task.run();
            return;
        }
        Future<?> done = loop.submit(() -> {
            task.run();
            return null;
        });
        done.syncUninterruptibly(); // throws the task's own exception, as Netty does, checked or not
    }
}
