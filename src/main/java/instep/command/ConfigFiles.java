package instep.command;

import instep.config.ConfigException;
import instep.config.ConfigReader;
import instep.config.Settings;
import java.nio.file.Path;
import java.util.List;
import picocli.CommandLine.Parameters;

/** The configuration that a command line names: a file, and others that lie over it. */
final class ConfigFiles {
    @Parameters(
            arity = "1..*",
            paramLabel = "CONFIG",
            description =
                    "The configuration, a YAML file. Each further file overrides single keys of those before it, such as"
                            + " the addresses of this studio's gear.")
    private List<Path> files;

    ConfigFiles() {
        this(List.of());
    }

    ConfigFiles(List<Path> files) {
        this.files = files;
    }

    List<Path> files() {
        return files;
    }

    Settings read() throws ConfigException {
        return ConfigReader.read(files);
    }
}
