package instep.input;

import instep.input.NetPort.Carrier;
import instep.input.net.Prefix;
import io.netty.channel.IoEventLoop;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.epoll.EpollIoHandler;
import java.io.IOException;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/** One port on the loopback, and all that is told of it. */
final class DoorRig implements AutoCloseable {
    final Recorder told = new Recorder();
    final int port;
    private final MultiThreadIoEventLoopGroup group = new MultiThreadIoEventLoopGroup(1, EpollIoHandler.newFactory());
    private final IoEventLoop loop = group.next();
    private final Devices devices;

    DoorRig(NetPort listen, NetContact... contacts) {
        port = listen.address().getPort();
        devices = new Devices(loop, List.of(new PedalSettings.Network("stage", listen, List.of(contacts))), told);
        devices.start();
    }

    static NetPort port(Carrier carrier) throws IOException {
        return port(carrier, List.of(), 0, null);
    }

    static NetPort port(Carrier carrier, List<Prefix> from, long silent, NetPort.@Nullable Token token)
            throws IOException {
        return new NetPort(
                carrier, new InetSocketAddress(InetAddress.getLoopbackAddress(), free()), from, silent, token);
    }

    /** A port that is free for both transports, or was a moment ago. */
    private static int free() throws IOException {
        try (ServerSocket tcp = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
                DatagramSocket udp = new DatagramSocket(tcp.getLocalPort(), InetAddress.getLoopbackAddress())) {
            return udp.getLocalPort();
        }
    }

    /** As the program of that name is run by a person, who waits for its end. */
    static void run(String... command) throws Exception {
        Process process = new ProcessBuilder(command).inheritIO().start();
        if (!process.waitFor(20, TimeUnit.SECONDS) || process.exitValue() != 0) {
            throw new IOException(command[0] + " failed");
        }
    }

    void opened(String over) throws Exception {
        told.expect("device 0 UP: listens at 127.0.0.1:" + port + " for " + over);
    }

    void stop() {
        devices.close();
    }

    @Override
    public void close() {
        devices.close();
        group.shutdownGracefully(0, 1, TimeUnit.SECONDS).syncUninterruptibly();
    }
}
