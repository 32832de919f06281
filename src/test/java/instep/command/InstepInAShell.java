package instep.command;

import instep.Main;
import instep.media.Filmed;
import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/** The program under its name, for what a page tells to type: this project's classes as the test has them. */
final class InstepInAShell {
    private InstepInAShell() {}

    /** A shell for words of {@code sh}, which works in that folder; what it says gets into {@code said.txt} there. */
    static ProcessBuilder in(Path folder, String... words) throws IOException {
        Path bin = Files.createDirectories(folder.resolve("bin"));
        Filmed.program(
                bin,
                "instep",
                "exec '" + Path.of(System.getProperty("java.home"), "bin", "java") + "' -XX:TieredStopAtLevel=1 -cp '"
                        + classPath() + "' " + Main.class.getName() + " \"$@\"");
        ProcessBuilder shell = new ProcessBuilder(words)
                .directory(folder.toFile())
                .redirectInput(new File("/dev/null"))
                .redirectErrorStream(true)
                .redirectOutput(folder.resolve("said.txt").toFile());
        shell.environment().merge("PATH", bin.toString(), (path, ours) -> ours + File.pathSeparator + path);
        return shell;
    }

    /** The shell works in another folder. */
    private static String classPath() {
        return Stream.of(System.getProperty("java.class.path").split(File.pathSeparator, -1))
                .map(path -> Path.of(path).toAbsolutePath().toString())
                .collect(Collectors.joining(File.pathSeparator));
    }
}
