package instep.desk;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.jr.ob.JSON;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import org.assertj.core.api.InstanceOfAssertFactories;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The metrics, read by programs of others: promtool (Debian's prometheus) and the reference parser of OpenMetrics (Debian's python3-prometheus-client). */
class MetricsTest {
    private static final String PARSER = """
            import sys, json
            from prometheus_client.openmetrics.parser import text_string_to_metric_families as families
            out = {}
            for family in families(sys.stdin.read()):
                for sample in family.samples:
                    labels = ",".join(k + "=" + v for k, v in sorted(sample.labels.items()))
                    out[sample.name + "{" + labels + "}"] = float(sample.value)
                out[family.name] = family.type + " " + family.unit
            print(json.dumps(out))
            """;

    private final Studio studio = new Studio();

    private static String output(String input, String... command) throws Exception {
        Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
        try (OutputStream in = process.getOutputStream()) {
            in.write(input.getBytes(StandardCharsets.UTF_8));
        }
        String out = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertThat(process.waitFor(60, TimeUnit.SECONDS)).isTrue();
        return process.exitValue() + " " + out;
    }

    private static Tallies tallies() {
        Histogram spread = Histogram.NONE.plus(100).plus(101).plus(300).plus(2_000_000);
        return new Tallies(
                12,
                6,
                5,
                1,
                2,
                3,
                4,
                100,
                7,
                1_500_000,
                -40_000_000,
                Studio.SECOND,
                spread,
                Histogram.NONE,
                List.of(
                        new Tallies.Gear("mixer \"A\"\\\n", true, 8, 1, 2, 450),
                        new Tallies.Gear("lamp", false, 0, 0, 0, -1)),
                List.of(new Tallies.Unit("floor", true)));
    }

    @Test
    void passesTheCheckOfPromtool() throws Exception {
        String text = Metrics.text(tallies(), studio, 37, MetricsForm.PLAIN);
        assertThat(output(text, "promtool", "check", "metrics")).isEqualTo("0 ");
    }

    @Test
    void saysToTheReferenceParserWhatWasCounted() throws Exception {
        String text = Metrics.text(tallies(), studio, 37, MetricsForm.OPEN);
        String parsed = output(text, "/usr/bin/python3", "-c", PARSER);
        assertThat(parsed).startsWith("0 ");
        Map<String, Object> samples = JSON.std.mapFrom(parsed.substring(2));
        assertThat(samples)
                .containsEntry("instep_edges_total{}", 12.0)
                .containsEntry("instep_cuts_total{by=mapping}", 5.0)
                .containsEntry("instep_cuts_total{by=gear}", 1.0)
                .containsEntry("instep_press_to_wire_seconds", "histogram seconds")
                .containsEntry("instep_press_to_wire_seconds_bucket{le=0.0001}", 1.0)
                .containsEntry("instep_press_to_wire_seconds_bucket{le=0.0002}", 2.0)
                .containsEntry("instep_press_to_wire_seconds_bucket{le=0.0003}", 3.0)
                .containsEntry("instep_press_to_wire_seconds_bucket{le=1.0}", 3.0)
                .containsEntry("instep_press_to_wire_seconds_bucket{le=+Inf}", 4.0)
                .containsEntry("instep_press_to_wire_seconds_sum{}", 2.000501)
                .containsEntry("instep_press_to_wire_seconds_count{}", 4.0)
                .containsEntry("instep_link_up{gear=mixer \"A\"\\\n}", 1.0)
                .containsEntry("instep_link_up{gear=lamp}", 0.0)
                .containsEntry("instep_link_latency_seconds{gear=mixer \"A\"\\\n}", 0.00045)
                .doesNotContainKey("instep_link_latency_seconds{gear=lamp}")
                .containsEntry("instep_journal_lag_seconds{}", 0.0015)
                .containsEntry("instep_journal_lost_records_total{}", 7.0)
                .containsEntry("instep_sync_age_seconds{}", 1.0)
                .containsEntry("instep_sync_offset_seconds{}", -0.04)
                .containsEntry("instep_pedal_up{pedal=floor}", 1.0)
                .containsEntry("instep_desk_wrong_tokens_total{}", 37.0)
                .containsEntry("jvm_memory_used_bytes", "gauge bytes");
        for (String some :
                List.of("jvm_memory_used_bytes{area=heap}", "process_resident_memory_bytes{}", "process_open_fds{}")) {
            assertThat(samples.get(some))
                    .asInstanceOf(InstanceOfAssertFactories.DOUBLE)
                    .isPositive();
        }
    }

    @Test
    void isWrittenInTheWayThatIsAskedFor() throws Exception {
        try (DeskPage page = Studio.page(Studio.OPEN, studio, fault -> {})) {
            // OpenMetrics 1.0.0, section "Protocol negotiation"; the second is what Prometheus 2.42 sends.
            String open = "application/openmetrics-text; version=1.0.0; charset=utf-8";
            String both =
                    "application/openmetrics-text;version=1.0.0,application/openmetrics-text;version=0.0.1;q=0.75,"
                            + "text/plain;version=0.0.4;q=0.5,*/*;q=0.1";
            Visitor.Answer answer = Visitor.get(page, "/metrics", "Accept: " + both);
            assertThat(answer.header("content-type")).isEqualTo(open);
            assertThat(answer.body()).endsWith("# EOF\n");
            // curl 7.88 sends the second of these, and promtool reads what it has fetched.
            for (String accept : List.of("text/plain", "*/*", "application/*", "")) {
                Visitor.Answer plain = Visitor.get(page, "/metrics", "Accept: " + accept);
                assertThat(plain.header("content-type")).isEqualTo("text/plain; version=0.0.4; charset=utf-8");
                assertThat(output(plain.body(), "promtool", "check", "metrics")).isEqualTo("0 ");
            }
            assertThat(Visitor.get(page, "/metrics").header("content-type")).startsWith("text/plain");
        }
    }

    /** RFC 9110, section 12.5.1 with 12.4.2: a weight of 0 means "not acceptable". */
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "application/openmetrics-text;q=0 | PLAIN",
                "application/openmetrics-text; version=1.0.0 ; Q=0.000, text/plain | PLAIN",
                "text/plain, application/openmetrics-text;version=0.0.1;q=0. | PLAIN",
                "application/openmetrics-text-of-ours | PLAIN",
                "application/openmetrics-text;q=0.001 | OPEN",
                "text/plain;q=0,APPLICATION/OpenMetrics-Text ;q=1.0 | OPEN",
                "application/openmetrics-text;version=0.0.1;q=0,application/openmetrics-text;version=1.0.0 | OPEN"
            })
    void doesNotWriteInAWayThatIsRefused(String accept, MetricsForm form) {
        assertThat(MetricsForm.wanted(accept)).isEqualTo(form);
    }
}
