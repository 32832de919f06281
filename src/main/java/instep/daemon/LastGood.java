package instep.daemon;

import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Running;
import instep.config.Settings;
import instep.journal.NewerFormatException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.time.DateTimeException;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/**
 * The text of the configuration that came into force last, in a file: with it the service starts when the files themselves are faulty, since nobody is there who mends them at once. Secrets are not in
 * it; they stay in files of their own. From any thread; blocks on the disk.
 */
public final class LastGood {
    private static final String NAME = "in-force.yaml";
    /** The first line, before the time and the files' names. */
    private static final String SINCE = "# in force since ";

    private static final String OF = ": ";
    private static final DateTimeFormatter SHOWN = DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm");

    private final Path file;
    private final String names;
    /** The same files, from wherever they are named. */
    private final String key;

    private LastGood(Path file, List<Path> files) {
        this.file = file;
        names = joined(files.stream());
        key = joined(files.stream().map(one -> one.toAbsolutePath().normalize()));
    }

    private static String joined(Stream<Path> files) {
        return files.map(Path::toString).collect(Collectors.joining(" + "));
    }

    /** In that folder, of a configuration of these files. */
    public static LastGood in(Path folder, List<Path> files) {
        return new LastGood(folder.resolve(NAME), files);
    }

    /**
     * What goes in the place of faulty files.
     *
     * @param settings of the text that was kept
     * @param since when it came into force
     * @param fault what is wrong with the files
     */
    public record StandIn(Settings settings, OffsetDateTime since, ConfigException fault) {
        /** What is the matter, in words. */
        String sentence() {
            return "the configuration was faulty at the start; running with the mapping of " + SHOWN.format(since)
                    + " until it is mended";
        }
    }

    private record Kept(OffsetDateTime since, String text) {}

    /** The last good configuration in place of one with that fault; empty if none is known of the same files, or none that this program still reads. */
    public Optional<StandIn> standIn(ConfigException fault) {
        try {
            Optional<Kept> kept = read();
            return kept.isEmpty()
                    ? Optional.empty()
                    : Optional.of(new StandIn(
                            ConfigReader.parse(names, kept.get().text()),
                            kept.get().since(),
                            fault));
        } catch (IOException | ConfigException e) {
            return Optional.empty();
        }
    }

    /**
     * What was in force when the run before this one broke off in the middle of a take, if the files hold something else since then: that waits for the end of the take, as it did before.
     *
     * @param found what the files hold
     * @param journals the folder of the journal
     * @param now when it is started
     */
    public Optional<Settings> ofBrokenTake(Settings found, Path journals, HostTime now) throws NewerFormatException {
        try {
            Optional<Kept> kept = read().filter(one -> !one.text().equals(found.text()));
            if (kept.isEmpty() || found.running().reload() == Running.Reload.AT_ONCE) {
                return Optional.empty();
            }
            Settings then = ConfigReader.parse(names, kept.get().text());
            return Draft.fixed(then, found).isEmpty()
                            && LastRun.in(journals, now.wall()).brokeOffInTake(now)
                    ? Optional.of(then)
                    : Optional.empty();
        } catch (NewerFormatException e) {
            throw e;
        } catch (IOException | ConfigException e) {
            return Optional.empty();
        }
    }

    private Optional<Kept> read() throws IOException {
        if (!Files.isRegularFile(file)) {
            return Optional.empty();
        }
        String all = Files.readString(file);
        int end = all.indexOf('\n');
        String first = all.substring(0, Math.max(0, end));
        int names = first.indexOf(OF, SINCE.length());
        if (!first.startsWith(SINCE)
                || names < 0
                || !first.substring(names + OF.length()).equals(key)) {
            return Optional.empty();
        }
        try {
            OffsetDateTime since = OffsetDateTime.parse(first.substring(SINCE.length(), names));
            return Optional.of(new Kept(since, all.substring(end + 1)));
        } catch (DateTimeException e) {
            return Optional.empty();
        }
    }

    /**
     * Keeps what is in force now, unless that is kept already. Power that fails leaves this or the one before.
     *
     * @return why it could not be, in a sentence; empty if it is
     */
    synchronized Optional<String> keep(Supplier<Settings> inForce) {
        try {
            String text = inForce.get().text();
            if (read().map(Kept::text).filter(text::equals).isEmpty()) {
                OffsetDateTime now = OffsetDateTime.now(ZoneId.systemDefault()).truncatedTo(ChronoUnit.SECONDS);
                write(SINCE + now + OF + key + "\n" + text);
            }
            return Optional.empty();
        } catch (IOException e) {
            return Optional.of(
                    "the mapping in force cannot be kept for a start with a faulty one (" + e + "): mend " + file);
        }
    }

    private void write(String text) throws IOException {
        Files.createDirectories(file.getParent());
        Path next = file.resolveSibling(NAME + ".new");
        try (FileChannel out = FileChannel.open(
                next, StandardOpenOption.CREATE, StandardOpenOption.TRUNCATE_EXISTING, StandardOpenOption.WRITE)) {
            ByteBuffer bytes = ByteBuffer.wrap(text.getBytes(StandardCharsets.UTF_8));
            while (bytes.hasRemaining()) {
                out.write(bytes);
            }
            out.force(true);
        }
        Files.move(next, file, StandardCopyOption.ATOMIC_MOVE);
    }
}
