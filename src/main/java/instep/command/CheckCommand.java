package instep.command;

import instep.advice.ChartGraph;
import instep.advice.CheckReport;
import instep.advice.EventWords;
import instep.config.ConfigException;
import instep.config.Settings;
import instep.daemon.Exit;
import java.io.IOException;
import java.io.InputStream;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code check}: is the configuration sound, and what does it do? */
@Command(
        name = "check",
        description = "Says what is wrong with a configuration, or else what each gesture does in each state.",
        mixinStandardHelpOptions = true,
        footerHeading = "%nExample:%n",
        footer = {"  instep check pottery.yaml", "  instep check mapping.yaml studio.yaml", Exit.CODES})
public final class CheckCommand implements Callable<Integer> {
    private static final String SCHEMA = "instep.schema.json";

    @Mixin
    private final ConfigFiles config = new ConfigFiles();

    @Option(
            names = "--graph",
            description =
                    "Writes the machine as a picture in the DOT language instead; Graphviz (package graphviz) draws it:"
                            + " instep check --graph FILE | dot -Tsvg > FILE.svg")
    private boolean graph;

    @Option(
            names = "--schema",
            help = true,
            description =
                    "Prints the JSON Schema of the configuration instead, with which an editor helps while you write.")
    private boolean schema;

    @Override
    public Integer call() throws IOException {
        if (schema) {
            printSchema();
            return Exit.FINE;
        }
        try {
            Settings settings = config.read();
            System.out.print(
                    graph
                            ? ChartGraph.of(settings.chart(), new EventWords(settings.contacts()))
                            : CheckReport.of(settings));
            return Exit.FINE;
        } catch (ConfigException e) {
            return Faults.tell(e);
        }
    }

    private static void printSchema() throws IOException {
        try (InputStream in = CheckCommand.class.getClassLoader().getResourceAsStream(SCHEMA)) {
            if (in == null) {
                throw new IllegalStateException(SCHEMA + " is not in this jar");
            }
            System.out.write(in.readAllBytes());
            System.out.flush();
        }
    }
}
