package instep.media;

import java.io.IOException;
import java.io.InputStream;
import java.io.InterruptedIOException;
import java.nio.charset.StandardCharsets;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CompletableFuture;

/** FFmpeg's processes that belong to one piece of work: they end with it, also when it is cancelled from another thread. */
final class Children {
    /** With what it ends when somebody presses Ctrl-C, which every process of a terminal gets. */
    private static final int INTERRUPTED = 255;

    private final String ffmpeg;
    private final Set<Process> running = new HashSet<>();
    private boolean cancelled;

    Children(Programs programs) {
        this.ffmpeg = programs.ffmpeg();
    }

    /** A process, and what it complains of. */
    record Child(Process process, CompletableFuture<String> complaint) implements AutoCloseable {
        /** Waits until it has ended well. */
        void finish(String what) throws IOException {
            try {
                if (process.waitFor() != 0) {
                    String said = complaint.join().strip();
                    if (process.exitValue() == INTERRUPTED && said.isEmpty()) {
                        throw new CancellationException(what + ": somebody has stopped ffmpeg");
                    }
                    throw new IOException(what + ": "
                            + (said.isEmpty() ? "ffmpeg ended with " + process.exitValue() : lastLine(said)));
                }
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
                throw new InterruptedIOException(what);
            }
        }

        private static String lastLine(String said) {
            return said.substring(said.lastIndexOf('\n') + 1);
        }

        @Override
        public void close() {
            process.destroyForcibly();
        }
    }

    /** Begins one that gets nothing to read. */
    Child start(List<String> arguments) throws IOException {
        return start(Programs.builder(ffmpeg, arguments));
    }

    /** Begins one that is given something to read. */
    Child startFed(List<String> arguments) throws IOException {
        return start(Programs.builder(ffmpeg, arguments).redirectInput(ProcessBuilder.Redirect.PIPE));
    }

    private synchronized Child start(ProcessBuilder builder) throws IOException {
        check();
        Process process = Programs.start(builder);
        running.add(process);
        running.removeIf(one -> !one.isAlive());
        return new Child(process, CompletableFuture.supplyAsync(() -> text(process.getErrorStream())));
    }

    private static String text(InputStream stream) {
        try (stream) {
            return new String(stream.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            return "";
        }
    }

    /** Does something that must not be done once the work is cancelled. */
    synchronized void unlessCancelled(Step step) throws IOException {
        check();
        step.run();
    }

    /** What may fail. */
    interface Step {
        void run() throws IOException;
    }

    synchronized void check() {
        if (cancelled) {
            throw new CancellationException("cancelled");
        }
    }

    /** Ends all processes and lets none begin. */
    synchronized void cancel() {
        cancelled = true;
        running.forEach(Process::destroyForcibly);
    }
}
