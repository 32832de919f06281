package instep.lab;

import static java.nio.charset.StandardCharsets.UTF_8;
import static java.util.stream.Collectors.joining;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;

/**
 * A job of the device lab that has ended, and what it left.
 *
 * @param folder where that lies
 */
record LabJob(Path folder) {
    private static final Path LAB = Path.of("target", "lab");
    /** The machine is switched off then; the longest job takes six minutes of a processor. */
    private static final String MACHINE_SECONDS = "2400";
    /** A first run fetches a kernel. */
    private static final int LIMIT_SECONDS = 2_700;

    private static final int TAIL = 60;

    /** Runs a job of {@code src/test/lab/jobs}; fails with what the guest said if it did not end well. */
    static LabJob run(String name) throws IOException, InterruptedException {
        Path said = Files.createDirectories(LAB).resolve(name + ".txt");
        ProcessBuilder command = new ProcessBuilder("sh", "src/test/lab/run.sh", name)
                .redirectErrorStream(true)
                .redirectOutput(said.toFile());
        Map<String, String> environment = command.environment();
        environment.putIfAbsent("LAB_JAR", System.getProperty("instep.jar", "target/instep.jar"));
        environment.putIfAbsent("LAB_LIMIT", MACHINE_SECONDS);
        environment.putIfAbsent("LAB_JAVA", System.getProperty("java.home") + "/bin/java");
        Process process = command.start();
        LabJob job = new LabJob(LAB.resolve("out").resolve(name));
        try {
            if (!process.waitFor(LIMIT_SECONDS, TimeUnit.SECONDS)) {
                throw new AssertionError(
                        "job " + name + " did not end in " + LIMIT_SECONDS + " s\n" + tail(said) + job.story());
            }
        } finally {
            process.descendants().forEach(ProcessHandle::destroy);
            process.destroy();
        }
        if (process.exitValue() != 0) {
            throw new AssertionError(
                    "job " + name + " ended with " + process.exitValue() + "\n" + tail(said) + job.story());
        }
        return job;
    }

    List<String> lines(String file) {
        return read(folder.resolve(file));
    }

    /** The program's journal, of all days. */
    List<JournalLine> journal() {
        try (Stream<Path> files = Files.list(folder.resolve("journal"))) {
            return files.filter(file -> file.toString().endsWith(".jsonl"))
                    .sorted()
                    .flatMap(file -> read(file).stream())
                    .map(JournalLine::parse)
                    .toList();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** What was played on the pedals, in order. */
    List<Played> played() {
        return lines("pedalsim.log").stream().map(Played::parse).toList();
    }

    /** The end of every text that the job left, for the message of a failing test. */
    String story() {
        if (!Files.isDirectory(folder)) {
            return "";
        }
        try (Stream<Path> files = Files.walk(folder)) {
            return files.filter(file -> Files.isRegularFile(file)
                            && !file.startsWith(folder.resolve("job"))
                            && !file.toString().endsWith(".pcm"))
                    .sorted()
                    .map(LabJob::tail)
                    .collect(joining());
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static String tail(Path file) {
        List<String> lines = read(file);
        List<String> last = lines.subList(Math.max(0, lines.size() - TAIL), lines.size());
        return "--- " + file + "\n" + String.join("\n", last) + "\n";
    }

    private static List<String> read(Path file) {
        try {
            return new String(Files.readAllBytes(file), UTF_8).lines().toList();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
