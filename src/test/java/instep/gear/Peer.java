package instep.gear;

import instep.reference.Installed;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;

/** A general-purpose program from Debian that the links are tried against. What it prints is kept; it ends with the test. */
final class Peer implements AutoCloseable {
    final List<String> printed = new CopyOnWriteArrayList<>();
    private final Process process;

    private Peer(Process process) {
        this.process = process;
        BufferedReader reader = process.inputReader(StandardCharsets.UTF_8);
        Thread thread = new Thread(() -> read(reader), "peer");
        thread.setDaemon(true);
        thread.start();
    }

    private void read(BufferedReader reader) {
        try {
            reader.lines().forEach(printed::add);
        } catch (UncheckedIOException e) {
            // it was ended while it had something to say
        }
    }

    static Peer start(String... command) throws IOException {
        return new Peer(new ProcessBuilder(command).redirectErrorStream(true).start());
    }

    /** Skips the test, and says why, where the program is not installed. */
    static void needs(String program, String debianPackage) {
        Installed.file(program, debianPackage);
    }

    boolean printedAny(String part) {
        return printed.stream().anyMatch(line -> line.contains(part));
    }

    boolean isAlive() {
        return process.isAlive();
    }

    @Override
    public void close() {
        process.destroy();
    }
}
