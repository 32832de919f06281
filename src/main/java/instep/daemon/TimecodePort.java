package instep.daemon;

/** Where timecode from outside comes in, and goes on to the switchboard. Loop thread only. */
interface TimecodePort extends AutoCloseable {
    /** Begins to listen. */
    void start();

    /** Lets go of what it listens to. */
    @Override
    void close();
}
