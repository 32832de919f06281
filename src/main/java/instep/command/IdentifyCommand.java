package instep.command;

import instep.daemon.Exit;
import instep.daemon.Loop;
import instep.identify.DeviceLines;
import instep.identify.PressedLines;
import instep.identify.Presses;
import instep.identify.RecordedEdges;
import instep.identify.SavedConfig;
import instep.input.Inventory;
import instep.input.Listening;
import instep.time.Durations;
import instep.time.FrameRate;
import instep.time.TimeSyntaxException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code identify}: which devices are there, and what do their pedals send? */
@Command(
        name = "identify",
        description = {
            "Lists the devices that could be pedals, then prints the lines of configuration for each pedal that you press.",
            "Needs no configuration, and keeps no device from anybody. Ctrl-C ends it."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false,
        footerHeading = "%nExample:%n",
        footer = {
            "  instep identify",
            "  instep identify --save first.yaml     then press each pedal once, and end with Ctrl-C",
            Exit.CODES
        })
public final class IdentifyCommand implements Callable<Integer> {
    @Option(names = "--list", description = "Only lists the devices.")
    private boolean listOnly;

    @Option(
            names = "--save",
            paramLabel = "FILE",
            description =
                    "Writes a whole first configuration for the pedals that you press, which `run` takes as it is.")
    private @Nullable Path save;

    @Option(
            names = "--record",
            paramLabel = "FILE",
            description = "Writes what your feet do as a performance, which `rehearse` plays.")
    private @Nullable Path record;

    @Option(names = "--for", paramLabel = "TIME", description = "Ends by itself after that time, such as 30s.")
    private @Nullable String length;

    @Override
    public Integer call() throws IOException, InterruptedException {
        long nanos;
        try {
            nanos = length == null ? Long.MAX_VALUE : Durations.parse(length, FrameRate.R25);
        } catch (TimeSyntaxException e) {
            return wrong("--for " + e.getMessage());
        }
        for (Path file : Stream.of(save, record).filter(Objects::nonNull).toList()) {
            if (Files.exists(file)) {
                return wrong(file + " is there already, and nothing is written over. Name another file.");
            } else if (!OutputFile.canWrite(List.of(file))) {
                return Exit.WRONG;
            }
        }
        Inventory inventory = Inventory.ofThisMachine();
        List<Inventory.Device> devices = inventory.devices();
        System.out.println(devices.isEmpty() ? "No device that could be a pedal is here yet." : "Devices:");
        devices.stream()
                .flatMap(device -> DeviceLines.of(device).stream())
                .forEach(line -> System.out.println("  " + line));
        return listOnly ? Exit.FINE : listen(inventory, nanos);
    }

    private int listen(Inventory inventory, long nanos) throws IOException, InterruptedException {
        List<Presses.Listener> listeners = new ArrayList<>();
        if (save != null) {
            listeners.add(new SavedConfig(save));
        }
        try (RecordedEdges edges = record == null ? null : new RecordedEdges(record)) {
            if (edges != null) {
                listeners.add(edges);
            }
            // Last: whoever has read of a press may end this, and has it in the files.
            listeners.add(new PressedLines(System.out));
            Loop loop = Loop.open(1);
            Listening listening = inventory.listen(loop.eventLoop(), new Presses(listeners));
            System.out.printf("%nPress the pedals one after the other; Ctrl-C ends.%n");
            // Ctrl-C ends the program where it stands: what became of the file is told on the way out.
            Thread end = new Thread(this::tellOfFile, "end");
            Runtime.getRuntime().addShutdownHook(end);
            try {
                new CountDownLatch(1).await(nanos, TimeUnit.NANOSECONDS);
            } finally {
                listening.close();
                loop.close();
            }
            Runtime.getRuntime().removeShutdownHook(end);
        }
        return tellOfFile() ? Exit.FINE : Exit.FAILED;
    }

    /** Whether the configuration is there, if one was asked for. */
    private boolean tellOfFile() {
        if (save == null) {
            return true;
        } else if (Files.exists(save)) {
            System.out.println(save + " has the pedals that you pressed: instep run " + save);
            return true;
        }
        System.err.println("instep: no pedal was pressed, so " + save + " was not written");
        return false;
    }

    private static int wrong(String what) {
        System.err.println("instep: " + what);
        return Exit.WRONG;
    }
}
