package instep.packaging;

import static java.nio.charset.StandardCharsets.UTF_8;

import instep.Main;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.zip.Deflater;
import java.util.zip.GZIPOutputStream;
import picocli.AutoComplete;
import picocli.CommandLine;
import picocli.CommandLine.Model.CommandSpec;

/** Writes what the package holds and no source file has: {@code PackageFiles FOLDER VERSION TIMESTAMP}. */
public final class PackageFiles {
    private static final String NAME = "instep";
    private static final int DATE = "2026-01-31".length();

    private PackageFiles() {}

    public static void main(String[] args) throws IOException {
        Path folder = Path.of(args[0]);
        CommandLine line = Main.commandLine();
        Path manual = Files.createDirectories(folder.resolve("man1"));
        for (ManPage page : pages(line.getCommandSpec(), args[1], args[2].substring(0, DATE))) {
            Files.write(manual.resolve(page.name() + ".1.gz"), compressed(page.troff()));
        }
        Files.writeString(folder.resolve("completion"), completion(line));
        Files.write(folder.resolve("changelog.gz"), compressed(Files.readString(Path.of("src/deb/changelog"))));
    }

    /** The shell reads it, and never runs it as a program. */
    private static String completion(CommandLine line) {
        return AutoComplete.bash(NAME, line).replaceFirst("^#!.*\\R", "");
    }

    /** The command's own page and those of its subcommands. */
    static List<ManPage> pages(CommandSpec command, String version, String date) {
        List<ManPage> pages = new java.util.ArrayList<>();
        pages.add(new ManPage(command, version, date));
        ManPage.visible(command).forEach(child -> pages.addAll(pages(child, version, date)));
        return pages;
    }

    /** As small as gzip(1) makes it, and without a time or a name, so that the same text gives the same bytes: Debian Policy, 12.1 and 12.7. */
    static byte[] compressed(String text) throws IOException {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (GZIPOutputStream gzip = new SmallestGzip(bytes)) {
            gzip.write(text.getBytes(UTF_8));
        }
        byte[] all = bytes.toByteArray();
        // RFC 1952, section 2.3.1: XFL 2 says that the slowest and best compression was used.
        all[8] = 2;
        return all;
    }

    private static final class SmallestGzip extends GZIPOutputStream {
        SmallestGzip(ByteArrayOutputStream out) throws IOException {
            super(out);
            def.setLevel(Deflater.BEST_COMPRESSION);
        }
    }
}
