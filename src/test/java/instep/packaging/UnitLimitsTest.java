package instep.packaging;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What the pages say that the service may do is what its unit lets it do: neither can lose a limit, or have another one, without the other. */
class UnitLimitsTest {
    private static final String CHAPTER = "## What the service may do\n";
    private static final Pattern ROW = Pattern.compile("(?m)^\\| ([a-z]+) \\| (.*) \\|$");

    private static String page = "";
    private static String troubleshooting = "";
    /** The chapter's table, by the first word of a row. */
    private static final Map<String, String> TABLE = new LinkedHashMap<>();
    /** Of the unit: a key may be given more than once. */
    private static final Map<String, List<String>> UNIT = new LinkedHashMap<>();

    @BeforeAll
    static void read() throws IOException {
        page = Files.readString(Path.of("docs/install.md"));
        troubleshooting = Files.readString(Path.of("docs/troubleshooting.md"));
        String chapter = page.substring(page.indexOf(CHAPTER) + CHAPTER.length());
        ROW.matcher(chapter.substring(0, chapter.indexOf("\n## ")))
                .results()
                .forEach(row -> TABLE.put(row.group(1), row.group(2)));
        for (String line : Files.readAllLines(Path.of("systemd/instep.service"))) {
            int equals = line.indexOf('=');
            if (equals > 0 && !line.startsWith("#")) {
                UNIT.computeIfAbsent(line.substring(0, equals), key -> new ArrayList<>())
                        .add(line.substring(equals + 1));
            }
        }
    }

    /** The text with a number in the place of {@code #}. */
    private static String number(String text, String form) {
        int gap = form.indexOf('#');
        Pattern pattern = Pattern.compile(
                Pattern.quote(form.substring(0, gap)) + "(\\d+)" + Pattern.quote(form.substring(gap + 1)));
        return pattern.matcher(text)
                .results()
                .map(match -> match.group(1))
                .findFirst()
                .orElseThrow(() -> new AssertionError("no " + form + " in: " + text));
    }

    private static String only(String key) {
        List<String> values = UNIT.getOrDefault(key, List.of());
        assertThat(values).as(key).hasSize(1);
        return values.get(0);
    }

    @Test
    void theTableHasARowForEachThingThatTheUnitLimits() {
        assertThat(TABLE.keySet()).containsExactly("devices", "files", "network", "memory", "processes");
    }

    @ParameterizedTest
    @CsvSource({"memory, at most # MB, MemoryMax, #M", "processes, # tasks, TasksMax, #"})
    void limitsWhatTheTableSaysToTheSameNumber(String row, String said, String key, String form) {
        String number = number(TABLE.getOrDefault(row, ""), said);
        assertThat(only(key)).isEqualTo(form.replace("#", number));
    }

    /** Elsewhere on the pages, as it is said there. */
    @Test
    void saysTheSameNumbersOutsideTheTable() {
        assertThat(only("MemoryMax")).isEqualTo(number(troubleshooting, "; # MB are allowed") + "M");
        assertThat(only("WatchdogSec")).isEqualTo(number(troubleshooting, "the loop stood still for # s"));
        assertThat(only("WatchdogSec")).isEqualTo(number(page, "When it has not for #, the service is ended"));
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            memory  | it is the last to go if the box runs out | OOMScoreAdjust | -500
            files   | reads the system                         | ProtectSystem  | strict
            files   | writes `/var/lib/instep`                 | StateDirectory | instep
            files   | a `/tmp` of its own                       | PrivateTmp     | yes
            files   | sees no home folder                      | ProtectHome    | yes
            devices | no sound, no disk, no serial line        | DevicePolicy   | closed
            network | over IP                                  | RestrictAddressFamilies | AF_UNIX AF_INET AF_INET6 AF_NETLINK
            """)
    void doesWhatTheTableSays(String row, String said, String key, String value) {
        assertThat(TABLE.getOrDefault(row, "")).contains(said);
        assertThat(only(key)).isEqualTo(value);
    }

    /** Event nodes, raw HID nodes and MIDI nodes; of the sound system's nodes only those of MIDI are of the group that the service is in. */
    @Test
    void mayUseTheDevicesOfTheTableAndNoOther() {
        assertThat(TABLE.getOrDefault("devices", "")).contains("event nodes", "raw HID nodes", "MIDI nodes");
        assertThat(UNIT.get("DeviceAllow")).containsExactlyInAnyOrder("char-input r", "char-hidraw rw", "char-alsa r");
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            It runs as the user `instep`           | User                     | instep
            with the group `input` for its devices | SupplementaryGroups      | input
            without any capability                 | CapabilityBoundingSet    | ''
            without any capability                 | AmbientCapabilities      | ''
            it is started again after a second     | RestartSec               | 1
            and not tried again                    | RestartPreventExitStatus | 2
            """)
    void doesWhatThePageSaysAroundTheTable(String said, String key, String value) {
        assertThat(page).contains(said);
        assertThat(only(key)).isEqualTo(value);
    }
}
