package instep;

import instep.config.ConfigException;
import instep.config.ConfigReader;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;

/** {@code check}: is the configuration sound, and what does it do? */
@Command(
        name = "check",
        description = "Says what is wrong with a configuration, or else what each gesture does in each state.",
        mixinStandardHelpOptions = true,
        footerHeading = "%nExample:%n",
        footer = {"  instep check pottery.yaml", Main.EXIT_CODES})
final class CheckCommand implements Callable<Integer> {
    @Parameters(paramLabel = "CONFIG", description = "The configuration, a YAML file.")
    private Path config = Path.of("");

    @Override
    public Integer call() {
        try {
            System.out.print(CheckReport.of(ConfigReader.read(config)));
            return Main.FINE;
        } catch (ConfigException e) {
            return Faults.tell(e);
        }
    }
}
