package instep;

import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Settings;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
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

    @Option(
            names = "--graph",
            description =
                    "Writes the machine as a picture in the DOT language instead; Graphviz (package graphviz) draws it:"
                            + " instep check --graph FILE | dot -Tsvg > FILE.svg")
    private boolean graph;

    @Override
    public Integer call() {
        try {
            Settings settings = ConfigReader.read(config);
            System.out.print(
                    graph
                            ? ChartGraph.of(settings.chart(), new EventWords(settings.contacts()))
                            : CheckReport.of(settings));
            return Main.FINE;
        } catch (ConfigException e) {
            return Faults.tell(e);
        }
    }
}
