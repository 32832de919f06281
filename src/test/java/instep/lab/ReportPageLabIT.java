package instep.lab;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import instep.desk.Browser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The page of a report in Chromium, looked at by axe-core, which checks the success criteria of WCAG 2.2, levels A and AA, as far as a program can. It comes from the registry of npm; nothing of it is kept here. Pictures are left in target/report.
 */
@Tag("lab")
class ReportPageLabIT {
    private static final String JAR = System.getProperty("instep.jar", "target/instep.jar");
    private static final Path PICTURES = Path.of("target/report");
    private static final String AXE = "axe-core@4.14.1";
    private static final String RUN =
            "axe.run(document,{runOnly:['wcag2a','wcag2aa','wcag21a','wcag21aa','wcag22aa','best-practice']})"
                    + ".then(found=>found.passes.length+' passes; '+found.violations.map(one=>one.id+' '+one.nodes.length+' times: '+one.help).join('; '))";
    /** Labels of a scale that run into each other or out of the picture, tables wider than their place, and a page wider than the screen. */
    private static final String CRAMPED = """
            [...document.querySelectorAll('svg.scale')].flatMap(scale => {
              const boxes = [...scale.querySelectorAll('text')].map(text => text.getBoundingClientRect())
                .filter(box => box.width > 0).sort((one, other) => one.left - other.left);
              const label = scale.previousElementSibling.getBoundingClientRect();
              return boxes.filter((box, i) => box.left < (i ? boxes[i - 1].right + 2 : label.left) || box.right > innerWidth)
                .map(box => 'a label of the scale at ' + box.left);
            }).concat([...document.querySelectorAll('.wide')].filter(place => place.scrollWidth > place.clientWidth)
                .map(place => 'the table ' + place.querySelector('caption').textContent + ': ' + place.scrollWidth + ' of ' + place.clientWidth))
              .concat(document.documentElement.scrollWidth > innerWidth ? ['the page: ' + document.documentElement.scrollWidth] : []).join('; ')""";

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
        run(
                java,
                "-jar",
                JAR,
                "report",
                journal,
                "--minimum-shot",
                "500ms",
                "--head",
                "2s",
                "--retake",
                "drop",
                "-o",
                page.toString());
        run("npm", "install", "--prefix", folder.toString(), "--no-save", AXE);
        String axe = Files.readString(folder.resolve("node_modules/axe-core/axe.min.js"), UTF_8);
        try (Browser browser = Browser.start(Files.createDirectory(folder.resolve("profile")))) {
            // A phone, one held on its side, a desk; and the width of a sheet of A4 less its margins.
            for (int width : new int[] {390, 700, 1280}) {
                browser.show(page.toUri().toString(), width, 900, width < 800);
                browser.value(axe + ";0");
                String told = browser.value(RUN).toString();
                assertThat(told).as("%d pixels", width).matches("[2-9][0-9] passes; ");
                assertThat(browser.value(CRAMPED)).as("%d pixels", width).isEqualTo("");
                browser.whole(PICTURES.resolve("page-" + width + ".png"));
            }
            browser.print(PICTURES.resolve("page.pdf"));
            assertThat(browser.complaints()).isEmpty();
        }
    }
}
