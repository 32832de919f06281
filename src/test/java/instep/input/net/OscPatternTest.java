package instep.input.net;

import static org.assertj.core.api.Assertions.assertThat;

import com.sun.jna.Library;
import com.sun.jna.Native;
import instep.reference.Installed;
import java.time.Duration;
import java.util.Random;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class OscPatternTest {
    /** liblo 0.31 (Debian's liblo7), an independent reading of OSC 1.0. */
    interface Liblo extends Library {
        @SuppressWarnings({"checkstyle:MethodName", "MemberName"})
        int lo_pattern_match(String address, String pattern);
    }

    /** OSC 1.0, "OSC Message Dispatching and Pattern Matching", its rules 1 to 5 in turn. */
    @ParameterizedTest
    @CsvSource(
            delimiter = ' ',
            value = {
                "/foot/left /foot/left true",
                "/foot/left /foot/right false",
                "/foot/? /foot/1 true",
                "/foot/? /foot/12 false",
                "/foot/* /foot/left true",
                "/foot/l* /foot/l true",
                "/foot/*t /foot/left true",
                "/foot/*e*t /foot/left true",
                "/* /foot/left false",
                "/*/left /foot/left true",
                "/foot?left /foot/left false",
                "/foot/[12] /foot/2 true",
                "/foot/[1-3] /foot/2 true",
                "/foot/[1-3] /foot/4 false",
                "/foot/[!1-3] /foot/4 true",
                "/foot/[!1-3] /foot/2 false",
                "/foot/[1-] /foot/- true",
                "/foot/[1!] /foot/! true",
                "/foot[!a]left /foot/left false",
                "/foot/{left,right} /foot/right true",
                "/foot/{left,right} /foot/middle false",
                "/foot/{l,le}ft /foot/left true",
                "/foot/[12 /foot/1 false",
                "/foot/{1,2 /foot/1 false",
            })
    void standsForTheAddressesThatTheStandardSays(String pattern, String address, boolean matches) {
        assertThat(OscPattern.matches(pattern, address)).isEqualTo(matches);
    }

    @Test
    void standsForTheSameAddressesAsInLiblo() {
        Installed.program("oscsend", "liblo-tools");
        Liblo liblo = Native.load("liblo.so.7", Liblo.class);
        Random random = new Random(7);
        String[] pieces = {"a", "b", "c", "?", "*", "[ab]", "[!ab]", "[a-c]", "/", "ab"};
        int matched = 0;
        for (int i = 0; i < 20_000; i++) {
            String pattern = text(random, pieces, pieces.length);
            String address = text(random, new String[] {"a", "b", "c", "d"}, 4);
            if (pattern.contains("//")) {
                continue; // a wildcard of OSC 1.1, which liblo knows
            }
            boolean ours = OscPattern.matches(pattern, address);
            assertThat(ours).as("%s for %s", pattern, address).isEqualTo(liblo.lo_pattern_match(address, pattern) != 0);
            matched += ours ? 1 : 0;
        }
        assertThat(matched).isGreaterThan(200);
    }

    private static String text(Random random, String[] pieces, int kinds) {
        StringBuilder text = new StringBuilder("/");
        for (int i = random.nextInt(5); i >= 0; i--) {
            text.append(pieces[random.nextInt(kinds)]);
        }
        return text.toString();
    }

    @Test
    void isNotLongAtAPatternMadeToTakeLong() {
        String pattern = "/" + "*a".repeat(2_000) + "b";
        String address = "/" + "a".repeat(250);
        Assertions.assertTimeoutPreemptively(
                Duration.ofSeconds(20),
                () -> assertThat(OscPattern.matches(pattern, address)).isFalse());
    }
}
