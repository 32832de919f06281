package instep.gear;

import static org.assertj.core.api.Assertions.assertThat;

import io.netty.channel.ConnectTimeoutException;
import java.io.IOException;
import java.net.ConnectException;
import java.net.NoRouteToHostException;
import java.net.PortUnreachableException;
import java.net.UnknownHostException;
import java.nio.channels.ClosedChannelException;
import org.junit.jupiter.api.Test;

class ReasonsTest {
    private final Reasons reasons = new Reasons("mixer", "192.0.2.10", 9701);

    @Test
    void sayWhatHappenedWhereAndWhatToDo() {
        assertThat(reasons.of(new ConnectException("x")))
                .isEqualTo("connection refused by 192.0.2.10:9701: is the mixer on?");
        assertThat(reasons.of(new ConnectTimeoutException("x")))
                .isEqualTo("no answer from 192.0.2.10:9701: is the mixer on and on the network?");
        assertThat(reasons.of(new NoRouteToHostException("x")))
                .isEqualTo("no way to 192.0.2.10: is the network cable in, and is the mixer on?");
        assertThat(reasons.of(new PortUnreachableException("x")))
                .isEqualTo("nothing listens at 192.0.2.10:9701: is the mixer on?");
        assertThat(reasons.of(new UnknownHostException("x")))
                .isEqualTo(
                        "nobody on the network knows the name 192.0.2.10: is it spelled right? An address works, too");
        assertThat(reasons.of(new IOException("Connection reset")))
                .isEqualTo("192.0.2.10:9701 dropped the connection (Connection reset)");
        assertThat(reasons.of(new ClosedChannelException())).isEqualTo("192.0.2.10:9701 closed the connection");
    }

    /** RFC 3986, section 3.2.2. */
    @Test
    void putAnIpv6AddressIntoBrackets() {
        assertThat(Reasons.where("2001:db8::10", 80)).isEqualTo("[2001:db8::10]:80");
    }
}
