package instep.command;

import instep.config.MediaText;
import instep.cutlist.MediaList;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** Where a list of media is written, if one is asked for. */
final class MediaOutput {
    @Option(
            names = {"-w", "--write"},
            paramLabel = "FILE",
            description =
                    "Writes down what was found, as a list that you may correct and that `cutlist`, `roughcut` and `report` read.")
    private @Nullable Path file;

    @Option(names = "--replace", description = "Writes over that file if it is there.")
    private boolean replace;

    boolean isAsked() {
        return file != null;
    }

    /** Whether nothing stands in its way; else it has told. */
    boolean isFree(CommandLine line) {
        if (file != null && !String.valueOf(file.getFileName()).matches(".+\\.ya?ml")) {
            throw new ParameterException(
                    line, "--write " + file + ": expected a name that ends in .yaml, so that no recording is hit");
        }
        if (file != null && !replace && Files.exists(file)) {
            System.err.println("instep: " + file + " is there already; --replace writes over it");
            return false;
        }
        return file == null || OutputFile.canWrite(List.of(file));
    }

    /**
     * Writes the list, which is whole or not there; nothing, if none is asked for.
     *
     * @param unused remarks about files that are not in it
     */
    void write(MediaList list, List<String> unused) throws IOException {
        if (file == null) {
            return;
        }
        Path target = file.toAbsolutePath();
        Path folder = target.getParent();
        String text = MediaText.of(list, folder == null ? target : folder, unused);
        Path part = target.resolveSibling(target.getFileName() + ".part");
        try {
            Files.writeString(part, text, StandardCharsets.UTF_8);
            Files.move(part, target, StandardCopyOption.REPLACE_EXISTING);
        } catch (IOException e) {
            Files.deleteIfExists(part);
            throw new IOException(
                    "cannot write " + file + ": "
                            + (e instanceof NoSuchFileException ? "there is no such folder" : e.getMessage()),
                    e);
        }
        System.out.println("Written: " + file);
    }
}
