package instep.config;

import instep.config.ConfigException.Fault;
import instep.machine.Place;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.CharBuffer;
import java.nio.charset.CharsetDecoder;
import java.nio.charset.CoderResult;
import java.nio.charset.StandardCharsets;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.IntStream;

/** Reads the text of a file, or says why not. */
final class SourceFile {
    private SourceFile() {}

    /**
     * The text.
     *
     * @param expected what the file should be, such as {@code a configuration}
     */
    static String text(Path file, String expected) throws ConfigException {
        try {
            return decode(file, bytes(file, expected));
        } catch (NoSuchFileException e) {
            throw fault(file, "there is no such file; expected " + expected);
        } catch (AccessDeniedException e) {
            throw fault(file, denied(file));
        } catch (IOException e) {
            throw fault(file, why(file, e, expected));
        }
    }

    /** The file itself, or one of the folders in which it stands. */
    private static String denied(Path file) {
        for (Path folder : foldersOf(file)) {
            if (!Files.isExecutable(folder)) {
                return "this user may not look into " + folder + "; expected permission to read that folder";
            }
        }
        return "this user may not read the file; expected read permission";
    }

    private static String why(Path file, IOException e, String expected) {
        for (Path folder : foldersOf(file)) {
            if (Files.isRegularFile(folder)) {
                return folder + " is a file; expected a folder there";
            }
        }
        return (Files.isDirectory(file) ? "this is a folder" : "the file cannot be read: " + e.getMessage())
                + "; expected " + expected;
    }

    /** The outermost first. */
    private static List<Path> foldersOf(Path file) {
        Path whole = file.toAbsolutePath();
        return IntStream.range(1, whole.getNameCount())
                .mapToObj(names -> whole.getRoot().resolve(whole.subpath(0, names)))
                .toList();
    }

    private static byte[] bytes(Path file, String expected) throws IOException, ConfigException {
        if (Files.exists(file) && !Files.isRegularFile(file) && !Files.isDirectory(file)) {
            // Opening a pipe would wait for somebody to write into it.
            throw fault(file, "this is a pipe or a device and no file; expected " + expected);
        }
        try (InputStream in = Files.newInputStream(file)) {
            byte[] bytes = in.readNBytes(YamlLimits.BYTES + 1);
            if (bytes.length > YamlLimits.BYTES) {
                throw fault(
                        file,
                        "the file is larger than " + YamlLimits.SIZE + "; expected " + expected
                                + " of a few kilobytes");
            }
            return bytes;
        }
    }

    private static String decode(Path file, byte[] bytes) throws ConfigException {
        CharBuffer text = CharBuffer.allocate(bytes.length);
        CharsetDecoder decoder = StandardCharsets.UTF_8.newDecoder();
        CoderResult result = decoder.decode(ByteBuffer.wrap(bytes), text, true);
        text.flip();
        if (!result.isError()) {
            return text.toString();
        }
        SourceText read = new SourceText(file.toString(), text.toString());
        throw new ConfigException(List.of(new Fault(
                read.placeOfIndex(text.length()),
                "found a byte that is not UTF-8 here; expected the file to be saved as UTF-8 text",
                "")));
    }

    private static ConfigException fault(Path file, String text) {
        return new ConfigException(List.of(new Fault(new Place(file.toString(), 0, 1), text, "")));
    }
}
