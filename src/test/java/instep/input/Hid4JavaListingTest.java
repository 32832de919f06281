package instep.input;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/** The real hid4java; Debian has the libudev that it needs. What it lists is tried in the device lab. */
class Hid4JavaListingTest {
    @Test
    void listsWithoutStartingThreads() throws HidListing.Unavailable {
        Set<Thread> before = threads();
        HidListing listing = new Hid4JavaListing();
        assertThat(listing.list()).doesNotContainNull();
        assertThat(listing.list()).isEqualTo(listing.list());
        Set<Thread> started = threads();
        started.removeAll(before);
        // JNA's own, which waits for native memory to free
        assertThat(started).allSatisfy(thread -> assertThat(thread.getName()).startsWith("JNA Cleaner"));
    }

    private static Set<Thread> threads() {
        return Thread.getAllStackTraces().keySet().stream().collect(Collectors.toSet());
    }
}
