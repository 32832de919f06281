package instep.daemon;

import instep.config.Settings;
import instep.gear.GearSettings;
import instep.gear.GearSettings.Led;
import instep.input.OutputReports;
import instep.input.Ports;
import java.util.List;

/** Lamps on pedals, which are those of the very device that is read, also among devices that are alike. */
final class Lamps {
    private Lamps() {}

    /** The gear of a desk that reads its pedals. */
    static List<GearSettings> of(Settings settings, Ports ports) {
        return settings.gear().stream()
                .map(gear -> gear instanceof Led led ? of(led, settings, ports) : gear)
                .toList();
    }

    private static Led of(Led led, Settings settings, Ports ports) {
        return settings.pedals().stream()
                .filter(pedal -> pedal.name().equals(led.device()))
                .findFirst()
                .map(pedal -> new Led(
                        led.name(),
                        led.device(),
                        led.report(),
                        () -> OutputReports.node(pedal, ports),
                        led.staleAfterNanos()))
                .orElse(led);
    }
}
