package instep;

import instep.input.Inventory;
import instep.input.Listening;
import java.io.IOException;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code identify}: which devices are there, and what do their pedals send? */
@Command(
        name = "identify",
        description = {
            "Lists the devices that could be pedals, then prints the lines of configuration for each pedal that you press.",
            "Needs no configuration, and takes no device away from anybody. Ctrl-C ends it."
        },
        mixinStandardHelpOptions = true,
        footerHeading = "%nExample:%n",
        footer = {"  instep identify", Main.EXIT_CODES})
final class IdentifyCommand implements Callable<Integer> {
    @Option(names = "--list", description = "Only lists the devices.")
    private boolean listOnly;

    @Override
    public Integer call() throws IOException, InterruptedException {
        Inventory inventory = Inventory.ofThisMachine();
        List<Inventory.Device> devices = inventory.devices();
        System.out.println(devices.isEmpty() ? "No device that could be a pedal is here yet." : "Devices:");
        devices.forEach(device -> System.out.println("  " + line(device)));
        if (listOnly) {
            return Main.FINE;
        }
        System.out.printf("%nPress the pedals one after the other; Ctrl-C ends.%n");
        Loop loop = Loop.open(1);
        Listening listening = inventory.listen(loop.eventLoop(), new Pressed(System.out));
        try {
            new CountDownLatch(1).await();
        } finally {
            listening.close();
            loop.close();
        }
        return Main.FINE;
    }

    private static String line(Inventory.Device device) {
        String reading = device.reading() == Inventory.Reading.KEYS ? "keys" : "raw reports";
        String usb = device.usb().isEmpty() ? "" : "usb " + device.usb() + ", ";
        String line = device.name() + " (" + usb + reading + ", " + device.node() + ")";
        return device.isReadable() ? line : line + "\n    cannot be read: " + device.missing();
    }
}
