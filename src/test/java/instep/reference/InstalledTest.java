package instep.reference;

import static org.assertj.core.api.Assertions.assertThatCode;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.Test;
import org.opentest4j.TestAbortedException;

class InstalledTest {
    @Test
    void failsATestWhoseReferenceIsMissingUnderCiAndElseLeavesItOut() {
        assertThatCode(() -> Installed.needs(true, "kiln", "kilns", true)).doesNotThrowAnyException();
        assertThatThrownBy(() -> Installed.needs(false, "kiln", "kilns", true))
                .isInstanceOf(AssertionError.class)
                .hasMessageContaining("apt-get install kilns");
        assertThatThrownBy(() -> Installed.needs(false, "kiln", "kilns", false))
                .isInstanceOf(TestAbortedException.class)
                .hasMessageContaining("apt-get install kilns");
    }
}
