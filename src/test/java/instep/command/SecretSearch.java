package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.stream.Stream;

/** Looks for a secret, in each of the forms that it may take, in all that the program says and writes. */
record SecretSearch(List<String> forms) {
    /** Writes a secret where a configuration in that folder finds it; nobody else may read it. */
    static void keep(Path folder, String name, String secret) throws IOException {
        Path secrets = Files.createDirectory(folder.resolve("secrets"));
        Files.writeString(
                Files.createFile(
                        secrets.resolve(name),
                        PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------"))),
                secret + "\n");
    }

    void holdsNone(String where, String text) {
        assertThat(text).as(where).isNotEmpty();
        assertThat(forms).as(where + "\n" + text).noneMatch(text::contains);
    }

    /** Looks through all files in a folder, and returns what stands in them. */
    String holdsNone(Path folder) throws IOException {
        StringBuilder all = new StringBuilder();
        try (Stream<Path> files = Files.walk(folder)) {
            for (Path file : files.filter(Files::isRegularFile).toList()) {
                String text = Files.readString(file, StandardCharsets.ISO_8859_1);
                all.append(text);
                if (!text.isEmpty()) {
                    holdsNone(file.toString(), text);
                }
            }
        }
        return all.toString();
    }

    /** Looks through what {@code try} shows, also through the text beside the hex digits without the breaks between the lines; returns that text. */
    String holdsNoneInColumns(String where, String shown) {
        holdsNone(where, shown);
        String column = shown.lines()
                .filter(line -> line.startsWith(">") || line.startsWith("<"))
                .map(line -> line.substring(Math.min(line.length(), 51)))
                .reduce("", String::concat);
        assertThat(forms).as(where + "\n" + column).noneMatch(column::contains);
        return column;
    }
}
