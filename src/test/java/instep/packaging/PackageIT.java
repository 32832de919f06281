package instep.packaging;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import instep.Main;
import instep.reference.Installed;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The Debian package as dpkg-deb unpacks it, and what Debian's programs say of its parts. It is installed, run and removed in the lab. */
class PackageIT {
    private static final Path UNIT = Path.of("usr/lib/systemd/system/instep.service");

    @TempDir
    private static Path root = Path.of("");

    private static Path control = Path.of("");

    private record Ran(int code, String said) {}

    private static Ran run(String... command) throws IOException, InterruptedException {
        Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
        String said = new String(process.getInputStream().readAllBytes(), UTF_8);
        return new Ran(process.waitFor(), said);
    }

    @BeforeAll
    static void unpack() throws Exception {
        Path jar = Path.of(System.getProperty("instep.jar", "target/instep.jar"));
        Path deb;
        try (Stream<Path> files = Files.list(jar.toAbsolutePath().getParent())) {
            deb = files.filter(file -> file.getFileName().toString().matches("instep_.*_all\\.deb"))
                    .findFirst()
                    .orElseThrow();
        }
        control = root.resolve("DEBIAN");
        assertThat(run("dpkg-deb", "-R", deb.toString(), root.toString()))
                .extracting(Ran::code)
                .isEqualTo(0);
    }

    private static String text(String path) throws IOException {
        return Files.readString(root.resolve(path));
    }

    @ParameterizedTest
    @CsvSource({
        "usr/bin/instep, rwxr-xr-x",
        "usr/share/instep/instep.jar, rw-r--r--",
        "usr/libexec/instep/class-archive, rwxr-xr-x",
        "usr/libexec/instep/pace, rwxr-xr-x",
        "usr/lib/systemd/system/instep.service, rw-r--r--",
        "usr/lib/udev/rules.d/60-instep.rules, rw-r--r--",
        "usr/lib/sysusers.d/instep.conf, rw-r--r--",
        "etc/instep/instep.yaml, rw-r--r--",
        "etc/instep/secrets, rwx------",
        "usr/share/bash-completion/completions/instep, rw-r--r--",
        "usr/share/doc/instep/README.md, rw-r--r--",
        "usr/share/doc/instep/docs/install.md, rw-r--r--",
        "usr/share/doc/instep/examples/pottery.yaml, rw-r--r--"
    })
    void holdsEachPartWhereDebianLooksForIt(String path, String permissions) throws Exception {
        assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(root.resolve(path))))
                .isEqualTo(permissions);
    }

    @Test
    void holdsTheJarThatWasTested() throws Exception {
        Path jar = Path.of(System.getProperty("instep.jar", "target/instep.jar"));
        assertThat(Files.mismatch(jar, root.resolve("usr/share/instep/instep.jar")))
                .isEqualTo(-1);
    }

    @Test
    void leavesTheMappingToThePersonWhoEditsIt() throws Exception {
        // deb-conffiles(5)
        assertThat(Files.readAllLines(control.resolve("conffiles"))).containsExactly("/etc/instep/instep.yaml");
    }

    @Test
    void isOfTheVersionThatItsChangelogTellsLast() throws Exception {
        String first = Files.readAllLines(Path.of("src/deb/changelog")).get(0);
        assertThat(Files.readString(control.resolve("control")))
                .contains("\nVersion: " + first.substring(first.indexOf('(') + 1, first.indexOf(')')) + "\n");
    }

    @Test
    void hasAManualPageForEachCommand() throws Exception {
        List<String> pages = PackageFiles.pages(Main.commandLine().getCommandSpec(), "0", "2026-01-01").stream()
                .map(page -> page.name() + ".1.gz")
                .toList();
        try (Stream<Path> files = Files.list(root.resolve("usr/share/man/man1"))) {
            assertThat(files.map(file -> file.getFileName().toString())).containsExactlyInAnyOrderElementsOf(pages);
        }
    }

    @Test
    void namesEveryLibraryInTheJarWithItsLicence() throws Exception {
        String copyright = text("usr/share/doc/instep/copyright").replaceAll("\\s+", " ");
        String pom = Files.readString(Path.of("pom.xml"));
        String dependencies = pom.substring(pom.indexOf("</dependencyManagement>"), pom.indexOf("<build>"));
        List<String> missing = new ArrayList<>();
        for (String dependency : dependencies.split("<dependency>")) {
            String group = between(dependency, "<groupId>", "</groupId>");
            if (!group.isEmpty() && !dependency.contains("<scope>test</scope>") && !copyright.contains("(" + group)) {
                missing.add(group);
            }
        }
        assertThat(missing).isEmpty();
    }

    private static String between(String text, String begin, String end) {
        int from = text.indexOf(begin);
        return from < 0 ? "" : text.substring(from + begin.length(), text.indexOf(end, from));
    }

    @ParameterizedTest
    @CsvSource({"ch, check", "ident, identify", "cutl, cutlist"})
    void completesCommandsInTheShell(String typed, String expected) throws Exception {
        Ran ran = run(
                "bash",
                "-c",
                ". " + root.resolve("usr/share/bash-completion/completions/instep")
                        + "; COMP_WORDS=(instep " + typed + "); COMP_CWORD=1; COMP_LINE='instep " + typed
                        + "'; $(complete -p instep | sed 's/.*-F \\([^ ]*\\).*/\\1/'); echo \"${COMPREPLY[@]}\"");
        assertThat(ran.said().strip()).isEqualTo(expected);
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "DEBIAN/postinst",
                "DEBIAN/prerm",
                "DEBIAN/postrm",
                "usr/bin/instep",
                "usr/libexec/instep/class-archive",
                "usr/libexec/instep/pace"
            })
    void itsScriptsAreReadByTheShellOfDebian(String script) throws Exception {
        assertThat(run("sh", "-n", root.resolve(script).toString())).isEqualTo(new Ran(0, ""));
    }

    /** systemd-analyze(1), verify: it prints what it does not understand, and ends well all the same. */
    @Test
    void systemdFindsNothingToSayAboutTheUnit() throws Exception {
        Path unit = root.resolve("instep.service");
        Files.writeString(
                unit, text(UNIT.toString()).replace("=/usr/bin/instep", "=" + root.resolve("usr/bin/instep")));
        needs("systemd-analyze");
        assertThat(run("systemd-analyze", "verify", "--man=no", unit.toString()))
                .isEqualTo(new Ran(0, ""));
    }

    /** What is behind a minus may be missing for all that systemd says. */
    @Test
    void holdsTheProgramsThatTheUnitRuns() throws Exception {
        List<String> programs = Pattern.compile("(?m)^Exec\\w+=-?/(\\S*instep\\S*)")
                .matcher(text(UNIT.toString()))
                .results()
                .map(match -> match.group(1))
                .toList();
        assertThat(programs)
                .containsExactly("usr/libexec/instep/pace", "usr/bin/instep")
                .allMatch(program -> Files.isExecutable(root.resolve(program)));
    }

    /** systemd-analyze(1), security: 0 is closed, 10 is open; the threshold is in tenths. */
    @Test
    void theServiceIsExposedLessThanTwoOfTen() throws Exception {
        needs("systemd-analyze");
        Ran ran = run(
                "systemd-analyze",
                "security",
                "--offline=yes",
                "--threshold=20",
                "--no-pager",
                root.resolve(UNIT).toString());
        assertThat(ran.code()).as(ran.said()).isZero();
        assertThat(ran.said()).contains("Overall exposure level");
    }

    private static void needs(String program) {
        Installed.program(program, "systemd");
    }

    /** Whoever sits before the box has no repository at hand. */
    @Test
    void whatThePackageSaysOfItsDocumentsIsThere() throws Exception {
        for (String file : List.of(UNIT.toString(), "etc/instep/instep.yaml", "usr/share/doc/instep/docs/install.md")) {
            List<String> named = Pattern.compile("/(usr/share/doc/instep[/\\w.-]*\\w)")
                    .matcher(Files.readString(root.resolve(file)))
                    .results()
                    .map(match -> match.group(1))
                    .toList();
            assertThat(named).as(file).isNotEmpty().allMatch(path -> Files.exists(root.resolve(path)));
        }
    }

    @Test
    void theDocumentsLinkToOneAnotherWhereTheyAreInstalled() throws Exception {
        Path readme = root.resolve("usr/share/doc/instep/README.md");
        // Sources stay in the repository.
        List<String> dead = Pattern.compile("\\]\\(([^)#:]+)")
                .matcher(Files.readString(readme))
                .results()
                .map(match -> match.group(1))
                .filter(link -> !link.matches("(src|systemd)/.*|LICENSE|DEVELOPERS\\.md"))
                .filter(link -> !Files.exists(readme.resolveSibling(link)))
                .collect(Collectors.toList());
        assertThat(dead).isEmpty();
    }
}
