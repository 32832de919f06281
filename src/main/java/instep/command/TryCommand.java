package instep.command;

import instep.config.AngleSettings;
import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Settings;
import instep.daemon.Exit;
import instep.gear.GearSettings;
import instep.gear.Message;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;

/** {@code try}: one message to one gear, with every byte. */
@Command(
        name = "try",
        description = {
            "Sends one message to one gear and shows the bytes that go out (>) and come in (<), in hex and as text, and what becomes of it.",
            "No journal is written, and no pedal is read. Values such as {take} have something in their place."
        },
        mixinStandardHelpOptions = true,
        footerHeading = "%nExample:%n",
        footer = {
            "  instep try pottery.yaml recorder roll",
            "  instep try pottery.yaml mixer wheel      the cut to the angle wheel",
            Exit.CODES
        })
public final class TryCommand implements Callable<Integer> {
    private static final long QUIET_NANOS = TimeUnit.SECONDS.toNanos(1);

    @Parameters(
            arity = "3..*",
            paramLabel = "CONFIG GEAR MESSAGE",
            hideParamSyntax = true,
            description = {
                "The configuration, a YAML file, or several: each further one overrides single keys of those before it.",
                "Then the name of the gear, and that of a message, or of an angle to cut to."
            })
    private List<String> words = List.of();

    @Override
    public Integer call() {
        int last = words.size() - 1;
        String message = words.get(last);
        String gear = words.get(last - 1);
        try {
            Settings settings = ConfigReader.read(
                    words.subList(0, last - 1).stream().map(Path::of).toList());
            List<String> names =
                    settings.gear().stream().map(GearSettings::name).toList();
            int number = names.indexOf(gear);
            if (number < 0) {
                System.err.println(
                        "instep: the configuration has no gear \"" + gear + "\"; it has " + Trial.listed(names));
                return Exit.WRONG;
            }
            Optional<Message> told = find(settings, message);
            if (told.isEmpty()) {
                System.err.println("instep: the configuration has no message or angle \"" + message + "\"; it has "
                        + Trial.listed(all(settings)));
                return Exit.WRONG;
            } else if (told.get().steps().stream().noneMatch(step -> step.gear() == number)) {
                System.err.println("instep: \"" + message + "\" tells the " + gear + " nothing");
                return Exit.WRONG;
            }
            return Trial.message(settings, number, told.get(), QUIET_NANOS, System.out) ? Exit.FINE : Exit.FAILED;
        } catch (ConfigException e) {
            return Faults.tell(e);
        }
    }

    private static Optional<Message> find(Settings settings, String name) {
        Stream<Message> messages =
                settings.messages().stream().filter(one -> one.name().equals(name));
        Stream<Message> cuts = settings.angles().stream()
                .filter(angle -> angle.name().equals(name))
                .map(AngleSettings::cut);
        return Stream.concat(messages, cuts).findFirst();
    }

    private static List<String> all(Settings settings) {
        List<String> names =
                new ArrayList<>(settings.messages().stream().map(Message::name).toList());
        settings.angles().forEach(angle -> names.add(angle.name()));
        return names;
    }
}
