package instep.input;

import java.io.IOException;
import java.io.Reader;
import java.io.Writer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.Map;
import java.util.Optional;
import java.util.Properties;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * Where the devices of pedal units are plugged in: where each was found in this run, for its lamps; and in a file, for the next run, to which ports {@code which}
 * counted when all devices that are alike were there. Any thread.
 */
public final class Ports {
    /** By then all devices that are there have been listed, on the slowest machine. */
    private static final long PATIENCE_SECONDS = 5;

    private final @Nullable Path file;
    private final Map<String, String> given = new ConcurrentHashMap<>();
    private final Map<String, String> counted = new ConcurrentHashMap<>();
    private final CountDownLatch looked = new CountDownLatch(1);

    private Ports(@Nullable Path file) {
        this.file = file;
    }

    /** That are forgotten with this run. */
    public static Ports ofThisRun() {
        return new Ports(null);
    }

    /** That are kept in the file {@code ports} of a folder; what cannot be read there is not known. */
    public static Ports in(Path folder) {
        Ports ports = new Ports(folder.resolve("ports"));
        Properties kept = new Properties();
        try (Reader in = Files.newBufferedReader(folder.resolve("ports"))) {
            kept.load(in);
        } catch (IOException | IllegalArgumentException e) {
            return ports; // there is none yet, or it is damaged: then the order of the ports counts, as at the first
            // start
        }
        kept.stringPropertyNames().forEach(unit -> ports.counted.put(unit, kept.getProperty(unit)));
        return ports;
    }

    /** Notes that the unit's device was found there. */
    void give(String unit, String place) {
        given.put(unit, place);
    }

    /** Notes that the unit is none any more. */
    void leave(String unit) {
        given.remove(unit);
    }

    /** Notes that all devices which are there have been looked at once. */
    void looked() {
        looked.countDown();
    }

    /** Where the unit's device was found last; waits, not for long, until all have been looked at once. */
    Optional<String> of(String unit) {
        try {
            boolean known = looked.await(PATIENCE_SECONDS, TimeUnit.SECONDS);
            return known ? Optional.ofNullable(given.get(unit)) : Optional.empty();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            return Optional.empty();
        }
    }

    /** Notes to which port {@code which} counts; says whether that is news, which {@link #save} keeps. */
    boolean count(String unit, String place) {
        return !place.equals(counted.put(unit, place));
    }

    /** To which port {@code which} counted when all were there, perhaps in another run; empty if they never were. */
    String counted(String unit) {
        return counted.getOrDefault(unit, "");
    }

    /** Writes the file, if there is one; not on the loop. */
    void save() throws IOException {
        if (file == null) {
            return;
        }
        Properties kept = new Properties();
        kept.putAll(counted);
        Path part = file.resolveSibling(file.getFileName() + ".part");
        try (Writer out = Files.newBufferedWriter(part)) {
            kept.store(out, " Where pedals that are alike are plugged in; \"which\" counts by these ports.");
        }
        Files.move(part, file, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
    }
}
