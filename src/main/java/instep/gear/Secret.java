package instep.gear;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermission;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;

/**
 * The name of a text that must be known to few, and where that text is kept: as a credential of the service (systemd.exec(5), {@code
 * LoadCredential=}), else in a file of that name which nobody but its owner may read. The text itself is never part of a configuration.
 *
 * @param folder where the file is kept if there is no credential of that name
 */
public record Secret(String name, Path folder) {
    /** Of a folder of credentials, {@code LoadCredential=secret:FOLDER}. */
    private static final String OF_A_FOLDER = "secret_";

    private static final int MOST_BYTES = 4_096;
    private static final Set<PosixFilePermission> OTHERS = Set.of(
            PosixFilePermission.GROUP_READ,
            PosixFilePermission.GROUP_WRITE,
            PosixFilePermission.OTHERS_READ,
            PosixFilePermission.OTHERS_WRITE);

    /** The text, without the line end after it; blocks on the file. */
    public String read() throws UnfitException {
        return read(Optional.ofNullable(System.getenv("CREDENTIALS_DIRECTORY")).map(Path::of));
    }

    String read(Optional<Path> credentials) throws UnfitException {
        Optional<Path> credential = credentials.stream()
                .flatMap(given -> Stream.of(given.resolve(name), given.resolve(OF_A_FOLDER + name)))
                .filter(Files::exists)
                .findFirst();
        Path file = credential.orElse(folder.resolve(name));
        try {
            if (credential.isEmpty()) {
                refuseIfOthersMayRead(file);
            }
            return text(file);
        } catch (NoSuchFileException e) {
            throw new UnfitException("there is no secret " + name + ": put it into the file " + file
                    + " with mode 0600, or give the service a credential of that name");
        } catch (IOException | UnsupportedOperationException e) {
            throw new UnfitException("the secret " + name + " cannot be read from " + file + " ("
                    + e.getClass().getSimpleName() + ")");
        }
    }

    private static void refuseIfOthersMayRead(Path file) throws IOException, UnfitException {
        Set<PosixFilePermission> given = Files.getPosixFilePermissions(file);
        if (given.stream().anyMatch(OTHERS::contains)) {
            throw new UnfitException("others than its owner may read the secret in " + file + ": chmod 600 " + file);
        }
    }

    private String text(Path file) throws IOException, UnfitException {
        if (Files.size(file) > MOST_BYTES) {
            throw new UnfitException("the secret in " + file + " is longer than " + MOST_BYTES + " bytes");
        }
        String text = new String(Files.readAllBytes(file), StandardCharsets.UTF_8).replaceFirst("\\R\\z", "");
        if (text.isEmpty() || text.chars().anyMatch(Character::isISOControl)) {
            throw new UnfitException("the secret in " + file + " is not one line of text");
        }
        return text;
    }
}
