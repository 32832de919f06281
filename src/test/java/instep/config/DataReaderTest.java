package instep.config;

import static org.assertj.core.api.Assertions.assertThat;

import instep.machine.Variable;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

class DataReaderTest {
    private static final String START = "instep: 1\ntimecode: { rate: 25 }\n";

    @Test
    void givesEachValueTheKindThatItIsWrittenWith() throws ConfigException {
        assertThat(ConfigReader.read(Path.of("src/test/resources/config/good/everything.yaml"), TestKeys.CODES)
                        .chart()
                        .variables())
                .startsWith(
                        new Variable("step", 1L, -9, 99),
                        Variable.of("title", "plates {not a value}"),
                        Variable.of("careful", true),
                        Variable.of("shelf", 16L),
                        new Variable("lowest", -5L, -5, Long.MAX_VALUE))
                .extracting(Variable::name)
                .as("what is only set comes after what is declared")
                .containsExactly("step", "title", "careful", "shelf", "lowest", "sure", "note", "low", "said");
    }

    @Test
    void leavesAValueThatIsOnlySetToTheKindOfItsFirstSetting() throws ConfigException {
        assertThat(variables("machine: { states: { a: { onentry: { set: { n: +1, b: true, t: x } } } } }"))
                .containsExactly(Variable.of("n", 0L), Variable.of("b", false), Variable.of("t", ""));
    }

    @Test
    void letsTextAndConditionsUseAValueThatNothingSets() throws ConfigException {
        assertThat(variables("data: { glaze: 3 }\nmachine: { states: { a: { eventless: { cond: { glaze: { above: 2 } },"
                        + " mark: much, text: \"glaze {glaze}\" } } } }"))
                .containsExactly(Variable.of("glaze", 3L));
    }

    private static java.util.List<Variable> variables(String sections) throws ConfigException {
        return ConfigReader.parse("f", START + sections, TestKeys.CODES).chart().variables();
    }
}
