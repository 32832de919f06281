package instep.command;

import instep.config.ConfigException;
import instep.daemon.Exit;
import java.util.concurrent.Callable;
import java.util.concurrent.TimeUnit;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code gear}: can all of it be reached? */
@Command(
        name = "gear",
        description = {
            "Connects to all gear of a configuration and shows how long each link takes, and why one is lost.",
            "Then it shows how long an answer is under way: to its heartbeat or poll, if it has one, which is asked once, to a HEAD request, to the ping of a WebSocket. Nothing else is told.",
            "Gear that takes one connection at a time is lost here while a daemon runs. OSC over UDP is up as long as nobody refuses it."
        },
        mixinStandardHelpOptions = true,
        footerHeading = "%nExample:%n",
        footer = {
            "  instep gear pottery.yaml --seconds 10",
            Exit.CODES,
            "A link that is not up at the end is a failure."
        })
public final class GearCommand implements Callable<Integer> {
    private static final int MOST_SECONDS = 3_600;

    @Mixin
    private ConfigFiles config = new ConfigFiles();

    @Option(
            names = "--seconds",
            paramLabel = "N",
            defaultValue = "3",
            description = "How long to look (default: ${DEFAULT-VALUE}).")
    private int seconds;

    @Spec
    private CommandSpec spec = CommandSpec.create();

    @Override
    public Integer call() {
        if (seconds < 1 || seconds > MOST_SECONDS) {
            throw new ParameterException(spec.commandLine(), "--seconds goes from 1 to " + MOST_SECONDS);
        }
        try {
            boolean up = LinkCheck.of(config.read(), TimeUnit.SECONDS.toNanos(seconds), System.out);
            return up ? Exit.FINE : Exit.FAILED;
        } catch (ConfigException e) {
            return Faults.tell(e);
        }
    }
}
