package instep.fuzz;

import instep.input.MidiFuzz;
import instep.input.ReportFuzz;
import java.util.function.Consumer;
import java.util.stream.Stream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.Size;

/** What {@code mvn -Pfuzz} does for minutes with an eye on which code the bytes reach, for a moment and without it. */
class FuzzTest {
    @Property(tries = 2_000)
    void noBytesFromOutsideBreakAReader(@ForAll @Size(max = 400) byte[] bytes) {
        Stream.<Consumer<byte[]>>of(
                        DescriptorFuzz::fuzzerTestOneInput,
                        OscFuzz::fuzzerTestOneInput,
                        MidiFuzz::fuzzerTestOneInput,
                        ReportFuzz::fuzzerTestOneInput)
                .forEach(fuzz -> fuzz.accept(bytes));
    }
}
