package instep.host;

import instep.reference.Installed;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import org.awaitility.Awaitility;

/** What stands in for systemd: socat (Debian) receives datagrams of a Unix socket and writes their text down. */
public final class ServiceManager implements AutoCloseable {
    private static final String SOCAT = "/usr/bin/socat";
    private static final Duration PATIENCE = Duration.ofSeconds(30);

    private final Process socat;
    private final Path heard;
    private final String address;

    private ServiceManager(Process socat, Path heard, String address) {
        this.socat = socat;
        this.heard = heard;
        this.address = address;
    }

    /** On a socket in that folder. */
    public static ServiceManager in(Path folder) throws IOException {
        Path socket = folder.resolve("notify");
        return listening(folder, "UNIX-RECV:" + socket, socket.toString());
    }

    /** On a socket of the abstract namespace. */
    static ServiceManager abstractly(Path folder) throws IOException {
        String name = "instep-test-" + ProcessHandle.current().pid();
        return listening(folder, "ABSTRACT-RECV:" + name, "@" + name);
    }

    private static ServiceManager listening(Path folder, String receive, String address) throws IOException {
        Installed.program("socat", "socat");
        Path heard = folder.resolve("heard");
        Path log = folder.resolve("socat.log");
        Process socat = new ProcessBuilder(SOCAT, "-u", "-d", "-d", receive, "-")
                .redirectOutput(heard.toFile())
                .redirectError(log.toFile())
                .start();
        Awaitility.await().atMost(PATIENCE).until(() -> Files.readString(log).contains("starting data transfer loop"));
        return new ServiceManager(socat, heard, address);
    }

    /** What it gives the services that it starts, so that they find it. */
    public Map<String, String> environment() {
        return Map.of("NOTIFY_SOCKET", address);
    }

    public List<String> heard() throws IOException {
        return Files.readAllLines(heard);
    }

    /** Waits until it has heard that line. */
    public void awaitLine(String line) {
        Awaitility.await("to hear " + line).atMost(PATIENCE).until(() -> heard().contains(line));
    }

    @Override
    public void close() throws IOException {
        socat.destroy();
    }
}
