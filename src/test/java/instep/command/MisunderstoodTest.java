package instep.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class MisunderstoodTest {
    /** Words of the library that reads the command line say nothing to a person. */
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            quoteCharacter = '"',
            value = {
                "tail -n x|instep: --lines x: expected a whole number|instep tail",
                "demo --speed fast|instep: --speed fast: expected a number|instep demo",
                "demo --desk here|instep: --desk here: expected a whole number|instep demo",
                "journal show --take x|instep: --take x: expected a whole number|instep journal show",
                "cutlist . --retake never|instep: --retake never: expected keep, flag or drop|instep cutlist",
                "cutlist . --prefer both|instep: --prefer both: expected proxy or original|instep cutlist",
                "cutlist . --lead 5|instep: --lead \"5\" is no length of time|instep cutlist",
                "cutlist . --nonsense|instep: there is no option --nonsense here|instep cutlist",
                "cutlist . --hanldes 5f|instep: there is no --hanldes here. Did you mean: --handles?|instep cutlist",
                "cutlist . --lead|instep: --lead takes TIME behind it|instep cutlist",
                "cutlist a b|instep: b is one word too many|instep cutlist",
                "try lesson.yaml|instep: expected CONFIG GEAR MESSAGE|instep try",
                "match|instep: expected JOURNAL FOLDER|instep match",
                "roughcut .|instep: missing: --media FILE, --output FILE|instep roughcut",
                "tail --lines 5 --lines 6|instep: --lines is given more than once|instep tail",
                "lesson.yaml|instep: lesson.yaml is no command. Did you mean: instep run lesson.yaml?|instep",
                "cutlits|instep: there is no cutlits here. Did you mean: cutlist?|instep",
                "nonsense|instep: nonsense is no command|instep"
            })
    void saysTheCauseAndWhereTheOptionsAreTold(String line, String cause, String command) {
        Said said = Said.by(line.split(" "));
        assertThat(said.code()).isEqualTo(2);
        assertThat(said.out()).isEmpty();
        assertThat(said.err().lines()).hasSize(2);
        assertThat(said.err())
                .startsWith(cause)
                .endsWith("`" + command + " --help` shows the options" + System.lineSeparator());
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "instep|run, check, rehearse, replay, demo, gear, try, identify, tail, journal, cutlist, match, roughcut, report, sync",
                "instep journal|takes, show, verify, repair",
            })
    void saysWhichCommandsThereAreWhenNoneIsGiven(String line, String commands) {
        String[] words = line.split(" ");
        Said said = Said.by(Arrays.copyOfRange(words, 1, words.length));
        assertThat(said.code()).isEqualTo(2);
        assertThat(said.err())
                .isEqualTo("instep: say which command: " + commands + System.lineSeparator() + "`" + line
                        + " --help` shows the options" + System.lineSeparator());
    }
}
