package instep.daemon;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.StandardSocketOptions;
import java.nio.ByteBuffer;
import java.nio.channels.SocketChannel;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;

/** Nearly as many connections to a page as it serves, all of which ask and never read; one that is let go comes again. */
final class Crowd implements AutoCloseable {
    static final int MANY = 62;

    private final InetSocketAddress page;
    private final Asks asks;
    private final List<One> all = new ArrayList<>();

    /** What all of them ask, and in what pieces. */
    enum Asks {
        /** Thousands of files, one after the other, without waiting for any. */
        PIPELINED("GET /desk.js HTTP/1.1\r\nHost: localhost\r\n\r\n".repeat(3_000), 64 * 1_024),
        /** The stream of events. */
        EVENTS("GET /events HTTP/1.1\r\nHost: localhost\r\n\r\n", 1_024),
        /** A body, byte by byte. */
        BODIES("POST /enter HTTP/1.1\r\nHost: localhost\r\nContent-Length: 1024\r\n\r\n" + "x".repeat(1_023), 1),
        /** Heads that do not end, of as many lines as fit. */
        HEADS("GET / HTTP/1.1\r\n" + "a:b\r\n".repeat(1_600), 4_096),
        /** To be told to go on, without ever saying more. */
        CONTINUES(
                "POST /enter HTTP/1.1\r\nHost: a\r\nExpect: 100-continue\r\nContent-Length: 1\r\n\r\nx".repeat(3_000),
                64 * 1_024);

        private final String text;
        private final int piece;

        Asks(String text, int piece) {
            this.text = text;
            this.piece = piece;
        }
    }

    private final class One implements AutoCloseable {
        private SocketChannel channel = open();
        private ByteBuffer rest = StandardCharsets.US_ASCII.encode(asks.text);

        private SocketChannel open() {
            try {
                SocketChannel opened = SocketChannel.open();
                opened.setOption(StandardSocketOptions.SO_RCVBUF, 4_096);
                opened.setOption(StandardSocketOptions.TCP_NODELAY, true);
                opened.connect(page);
                opened.configureBlocking(false);
                return opened;
            } catch (IOException e) {
                throw new IllegalStateException(e);
            }
        }

        private void push() throws IOException {
            ByteBuffer piece = rest.slice(rest.position(), Math.min(asks.piece, rest.remaining()));
            try {
                rest.position(rest.position() + channel.write(piece));
            } catch (IOException e) {
                channel.close();
                channel = open();
                rest = StandardCharsets.US_ASCII.encode(asks.text);
            }
        }

        @Override
        public void close() throws IOException {
            channel.close();
        }
    }

    /** All of them come. */
    Crowd(int port, Asks asks) {
        page = new InetSocketAddress(InetAddress.getLoopbackAddress(), port);
        this.asks = asks;
        for (int i = 0; i < MANY; i++) {
            all.add(new One());
        }
    }

    /** Each says the next piece of what it asks, if it can. */
    void push() throws IOException {
        for (One one : all) {
            one.push();
        }
    }

    @Override
    public void close() throws IOException {
        for (One one : all) {
            one.close();
        }
    }
}
