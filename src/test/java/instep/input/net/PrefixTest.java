package instep.input.net;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.InetAddress;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What Python's ipaddress module says of the same prefixes: {@code ip_address(a) in ip_network(p, strict=False)}. */
class PrefixTest {
    @ParameterizedTest
    @CsvSource({
        "192.0.2.7, 192.0.2.7, true",
        "192.0.2.7, 192.0.2.8, false",
        "192.0.2.0/24, 192.0.2.255, true",
        "192.0.2.0/24, 192.0.3.0, false",
        "192.0.2.128/25, 192.0.2.127, false",
        "192.0.2.64/27, 192.0.2.95, true",
        "192.0.2.64/27, 192.0.2.96, false",
        "0.0.0.0/0, 203.0.113.1, true",
        "0.0.0.0/0, 2001:db8::1, false",
        "2001:db8::/32, 2001:db8:ffff::1, true",
        "2001:db8::/33, 2001:db8:ffff::1, false",
        "::1, ::1, true",
    })
    void holdsTheAddressesThatBeginAlike(String prefix, String address, boolean holds) throws Exception {
        assertThat(Prefix.parse(prefix).orElseThrow().contains(InetAddress.getByName(address)))
                .isEqualTo(holds);
    }

    @ParameterizedTest
    @ValueSource(
            strings = {"", "studio", "192.0.2", "192.0.2.0/33", "192.0.2.256", "::1/129", "192.0.2.0/", ":", "cafe"})
    void isNoName(String text) {
        assertThat(Prefix.parse(text)).isEmpty();
    }
}
