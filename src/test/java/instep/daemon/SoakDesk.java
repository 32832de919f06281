package instep.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import instep.input.KeyPipe;
import java.io.BufferedReader;
import java.io.BufferedWriter;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** A {@link SoakDaemon}, started as the package starts it, with a pedal under somebody's feet: it can be killed and started again. */
final class SoakDesk implements AutoCloseable {
    private static final Duration PATIENCE = Duration.ofSeconds(60);
    private static final Path LAUNCHER = Path.of("src/deb/instep");

    final Path folder;
    final Path file;
    private final Path fifo;
    private final Path errors;
    private final Set<Integer> down = new HashSet<>();
    private long clock;
    private @Nullable Process process;
    private @Nullable BufferedReader answers;
    private @Nullable Writer orders;
    private @Nullable KeyPipe pedals;
    private long presses;

    /** What a process uses: threads, open descriptors, bytes of its heap after a collection, bytes of memory in all. */
    record Use(long threads, long descriptors, long heap, long resident) {}

    private SoakDesk(Path work) {
        folder = work.resolve("journal");
        file = work.resolve("pottery.yaml");
        fifo = work.resolve("pedal");
        errors = work.resolve("errors.txt");
    }

    /** With that configuration in the file that it follows. */
    static SoakDesk open(Path work, String yaml) throws IOException, InterruptedException {
        Loop.load().join(); // what writes into the pipe is native
        SoakDesk desk = new SoakDesk(work);
        Files.createDirectories(desk.folder);
        Files.writeString(desk.file, yaml);
        assertThat(new ProcessBuilder("mkfifo", desk.fifo.toString()).start().waitFor())
                .isZero();
        desk.start();
        return desk;
    }

    void start() throws IOException {
        List<String> command = new ArrayList<>();
        command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
        command.addAll(flags());
        command.addAll(List.of("-cp", System.getProperty("java.class.path"), SoakDaemon.class.getName()));
        command.addAll(List.of(folder.toString(), file.toString(), fifo.toString(), String.valueOf(clock)));
        ProcessBuilder builder = new ProcessBuilder(command).redirectError(errors.toFile());
        builder.environment().put("MALLOC_ARENA_MAX", "1");
        Process started = builder.start();
        process = started;
        orders = new BufferedWriter(new OutputStreamWriter(started.getOutputStream(), StandardCharsets.UTF_8));
        answers = new BufferedReader(new InputStreamReader(started.getInputStream(), StandardCharsets.UTF_8));
        assertThat(answers.readLine()).as("%s", errors()).isEqualTo("ready");
        plugIn();
    }

    /** Those of the package's launcher, but for the archive of classes, which is of the jar. */
    private static List<String> flags() throws IOException {
        List<String> flags = new ArrayList<>();
        Matcher set =
                Pattern.compile("^(?:flags|desk)=\"(.*)\"$", Pattern.MULTILINE).matcher(Files.readString(LAUNCHER));
        while (set.find()) {
            Arrays.stream(set.group(1).split(" "))
                    .filter(flag -> !flag.contains("$archive"))
                    .forEach(flags::add);
        }
        assertThat(flags).contains("-Xmx32m", "-XX:+UseSerialGC");
        return flags;
    }

    private String errors() throws IOException {
        return Files.exists(errors) ? Files.readString(errors) : "";
    }

    /** Tells the daemon what happens to its machine. */
    String order(String order) throws IOException {
        Writer to = orders;
        BufferedReader from = answers;
        if (to == null || from == null) {
            throw new IllegalStateException("it does not run");
        }
        to.write(order + "\n");
        to.flush();
        String answer = from.readLine();
        assertThat(answer).as("%s: it has ended; %s", order, errors()).isNotNull();
        return answer;
    }

    /** Sets the clock to so many nanoseconds from the true time. */
    void setClock(long nanos) throws IOException {
        clock = nanos;
        order("clock " + nanos);
    }

    /** By how much the clock is set. */
    long clock() {
        return clock;
    }

    private void plugIn() throws IOException {
        await().atMost(PATIENCE).until(() -> order("plug").equals("done"));
        pedals = KeyPipe.into(fifo);
        down.clear();
    }

    /** Pulls the pedal's cable, whatever is down, and puts it back. */
    void replug() throws IOException {
        pull();
        plugIn();
    }

    private void pull() throws IOException {
        KeyPipe pipe = pedals;
        if (pipe != null) {
            pipe.close();
            pedals = null;
        }
    }

    void key(int key, boolean closed) throws IOException {
        KeyPipe pipe = pedals;
        if (pipe == null) {
            throw new IllegalStateException("there is no pedal");
        }
        pipe.key(key, closed, System.nanoTime());
        if (closed) {
            presses++;
            down.add(key);
        } else {
            down.remove(key);
        }
    }

    boolean isDown(int key) {
        return down.contains(key);
    }

    long presses() {
        return presses;
    }

    /** As the kernel does when memory is short, or a power cut: in the middle of whatever it does. */
    void kill() throws IOException, InterruptedException {
        Process killed = process;
        if (killed != null) {
            killed.destroyForcibly().waitFor();
            pull();
        }
    }

    Use use() throws IOException {
        long heap = Long.parseLong(order("collect"));
        Path of = Path.of("/proc/" + (process == null ? "none" : process.pid()));
        String status = Files.readString(of.resolve("status"));
        try (Stream<Path> open = Files.list(of.resolve("fd"))) {
            return new Use(number(status, "Threads"), open.count(), heap, 1_024 * number(status, "VmRSS"));
        }
    }

    /** proc(5). */
    private static long number(String status, String name) {
        Matcher line =
                Pattern.compile("^" + name + ":\\s+([0-9]+)", Pattern.MULTILINE).matcher(status);
        assertThat(line.find()).isTrue();
        return Long.parseLong(line.group(1));
    }

    /** Ends it as it is meant to be ended, with nothing to say on standard error. */
    void end() throws IOException, InterruptedException {
        order("end");
        pull();
        Process ended = process;
        Writer to = orders;
        if (ended != null && to != null) {
            to.close();
            assertThat(ended.waitFor(PATIENCE.toSeconds(), TimeUnit.SECONDS)).isTrue();
        }
        process = null;
        assertThat(errors()).isEmpty();
    }

    @Override
    public void close() throws IOException {
        if (process != null) {
            process.destroyForcibly();
            pull();
        }
    }
}
