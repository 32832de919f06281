package instep;

import instep.command.CheckCommand;
import instep.command.CutlistCommand;
import instep.command.DemoCommand;
import instep.command.GearCommand;
import instep.command.IdentifyCommand;
import instep.command.JournalCommand;
import instep.command.MatchCommand;
import instep.command.Misunderstood;
import instep.command.Quiet;
import instep.command.RehearseCommand;
import instep.command.ReplayCommand;
import instep.command.ReportCommand;
import instep.command.RoughcutCommand;
import instep.command.RunCommand;
import instep.command.SyncCommand;
import instep.command.TailCommand;
import instep.command.TryCommand;
import instep.daemon.Exit;
import instep.daemon.Version;
import java.io.PrintWriter;
import java.util.List;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;

/** The program's entry: one command with its subcommands. */
@Command(
        name = "instep",
        description = "Cuts between cameras by foot, and keeps the record that makes the edit.",
        subcommands = {
            RunCommand.class,
            CheckCommand.class,
            RehearseCommand.class,
            ReplayCommand.class,
            DemoCommand.class,
            GearCommand.class,
            TryCommand.class,
            IdentifyCommand.class,
            TailCommand.class,
            JournalCommand.class,
            CutlistCommand.class,
            MatchCommand.class,
            RoughcutCommand.class,
            ReportCommand.class,
            SyncCommand.class
        },
        mixinStandardHelpOptions = true,
        versionProvider = Main.Versions.class,
        synopsisSubcommandLabel = "COMMAND",
        footerHeading = "%nExample:%n",
        footer = {"  java -jar instep.jar demo", Exit.CODES})
public final class Main implements Runnable {
    @Spec
    private CommandSpec spec = CommandSpec.create();

    Main() {}

    public static void main(String[] args) {
        Quiet.libraries();
        // The service's own way in stays clear of the command line's machinery, which costs start-up time and memory.
        List<String> words = List.of(args);
        if (args.length > 1 && args[0].equals("run") && words.stream().noneMatch(word -> word.startsWith("-"))) {
            System.exit(new RunCommand(words.subList(1, args.length)).call());
        }
        System.exit(commandLine().execute(args));
    }

    /** The whole command line, ready to execute. */
    public static CommandLine commandLine() {
        return new CommandLine(new Main())
                .setExecutionExceptionHandler(Main::failed)
                .setParameterExceptionHandler(Misunderstood::tell)
                .setCaseInsensitiveEnumValuesAllowed(true);
    }

    private static int failed(Exception fault, CommandLine line, CommandLine.ParseResult result) {
        PrintWriter err = line.getErr();
        String words = fault.getMessage();
        err.println("instep: " + (words == null ? fault.toString() : words));
        err.flush();
        return Exit.FAILED;
    }

    @Override
    public void run() {
        throw Misunderstood.whichCommand(spec.commandLine());
    }

    /** The version for {@code --version}. */
    static final class Versions implements CommandLine.IVersionProvider {
        @Override
        public String[] getVersion() {
            return new String[] {
                "instep " + Version.NUMBER,
                "Java " + Runtime.version() + ", " + System.getProperty("os.name") + " " + System.getProperty("os.arch")
            };
        }
    }
}
