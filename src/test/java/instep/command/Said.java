package instep.command;

import instep.Main;
import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.List;

/** What a command line said and how it ended. */
record Said(int code, String out, String err) {
    static Said by(String... args) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        ByteArrayOutputStream err = new ByteArrayOutputStream();
        PrintStream outBefore = System.out;
        PrintStream errBefore = System.err;
        System.setOut(new PrintStream(out, true, StandardCharsets.UTF_8));
        System.setErr(new PrintStream(err, true, StandardCharsets.UTF_8));
        try {
            int code = Main.commandLine().execute(args);
            return new Said(code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
        } finally {
            System.setOut(outBefore);
            System.setErr(errBefore);
        }
    }

    /** The numbered lines of a table, each with single spaces. */
    List<String> shots() {
        return out.lines()
                .filter(line -> line.matches(" +[0-9]+  .*"))
                .map(line -> line.strip().replaceAll(" +", " "))
                .toList();
    }
}
