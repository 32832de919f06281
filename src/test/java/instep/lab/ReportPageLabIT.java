package instep.lab;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The page of a report in Chromium, looked at by axe-core, which checks the success criteria of WCAG 2.2, levels A and AA, as far as a program can. It comes from the registry of npm; nothing of it is kept here.
 */
@Tag("lab")
class ReportPageLabIT {
    private static final String JAR = System.getProperty("instep.jar", "target/instep.jar");
    private static final String AXE = "axe-core@4.14.1";
    private static final String RUN =
            "<script>axe.run(document,{runOnly:['wcag2a','wcag2aa','wcag21a','wcag21aa','wcag22aa','best-practice']})"
                    + ".then(found=>{const told=document.createElement('pre');told.id='axe';"
                    + "told.textContent=found.passes.length+' passes; '+found.violations.map(one=>one.id+' '+one.nodes.length+' times: '+one.help).join('; ');"
                    + "document.body.appendChild(told)})</script></body>";

    @TempDir
    private Path folder = Path.of("");

    private String run(String... command) throws IOException, InterruptedException {
        Path out = folder.resolve("out");
        Process process = new ProcessBuilder(command)
                .redirectError(folder.resolve("err").toFile())
                .redirectOutput(out.toFile())
                .start();
        try {
            assertThat(process.waitFor(3, TimeUnit.MINUTES))
                    .as(List.of(command) + " ended")
                    .isTrue();
        } finally {
            process.descendants().forEach(ProcessHandle::destroy);
            process.destroy();
        }
        assertThat(process.exitValue())
                .as(() -> List.of(command) + ": " + read("err"))
                .isZero();
        return read("out");
    }

    private String read(String file) {
        try {
            return Files.readString(folder.resolve(file), UTF_8);
        } catch (IOException e) {
            return e.toString();
        }
    }

    @Test
    void hasNothingThatKeepsAnybodyFromReadingIt() throws Exception {
        String java = ProcessHandle.current().info().command().orElse("java");
        String journal = folder.resolve("takes").toString();
        run(java, "-jar", JAR, "demo", "--speed", "40", "--journal", journal);
        Path page = folder.resolve("lesson.html");
        run(java, "-jar", JAR, "report", journal, "--minimum-shot", "500ms", "--head", "2s", "-o", page.toString());
        run("npm", "install", "--prefix", folder.toString(), "--no-save", AXE);
        String axe = Files.readString(folder.resolve("node_modules/axe-core/axe.min.js"), UTF_8);
        // The page itself allows no script.
        String open = Files.readString(page, UTF_8).replaceFirst("<meta http-equiv[^>]*>", "");
        Path tried = Files.writeString(
                folder.resolve("tried.html"), open.replace("</body>", "<script>" + axe + "</script>" + RUN));
        for (String width : List.of("500", "1280")) {
            String read = run(
                    "chromium",
                    "--headless=new",
                    "--no-sandbox",
                    "--disable-gpu",
                    "--window-size=" + width + ",1000",
                    "--virtual-time-budget=30000",
                    "--dump-dom",
                    tried.toUri().toString());
            Matcher told = Pattern.compile("<pre id=\"axe\">([0-9]+) passes; (.*?)</pre>")
                    .matcher(read);
            assertThat(told.find()).as("axe has looked at it").isTrue();
            assertThat(Integer.parseInt(told.group(1))).isGreaterThan(20);
            assertThat(told.group(2)).isEmpty();
        }
    }
}
