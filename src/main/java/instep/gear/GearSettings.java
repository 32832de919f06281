package instep.gear;

import java.nio.file.Path;
import java.util.Map;
import java.util.Optional;

/** One device to command: its name and how it is reached. */
public sealed interface GearSettings {
    /** The name in the configuration. */
    String name();

    /** A message that could not be sent within so many nanoseconds is dropped. */
    long staleAfterNanos();

    /** The same gear in the clear at another address, as {@code host:port}. What hangs on a serial line is spoken to over TCP there. */
    GearSettings at(String host, int port);

    /** Where it is, for people: {@code tcp 192.0.2.10:9701}. */
    String address();

    /** Gear that is reached over the network. */
    sealed interface Networked extends GearSettings {
        /** A name or an address; IPv6 without brackets. */
        String host();

        /** From 1 to 65535. */
        int port();
    }

    /**
     * Text or bytes over TCP.
     *
     * @param tls empty: in the clear
     */
    record Tcp(String name, String host, int port, Framing framing, Optional<Tls> tls, long staleAfterNanos)
            implements Networked {
        /** In the clear. */
        public Tcp(String name, String host, int port, Framing framing, long staleAfterNanos) {
            this(name, host, port, framing, Optional.empty(), staleAfterNanos);
        }

        @Override
        public Tcp at(String newHost, int newPort) {
            return new Tcp(name, newHost, newPort, framing, staleAfterNanos);
        }

        @Override
        public String address() {
            return (tls.isPresent() ? "tls " : "tcp ") + Reasons.where(host, port);
        }
    }

    /** Text or bytes in UDP datagrams. */
    record Udp(String name, String host, int port, LineEnd lineEnd, long staleAfterNanos) implements Networked {
        @Override
        public Udp at(String newHost, int newPort) {
            return new Udp(name, newHost, newPort, lineEnd, staleAfterNanos);
        }

        @Override
        public String address() {
            return "udp " + Reasons.where(host, port);
        }
    }

    /**
     * Open Sound Control.
     *
     * @param tls empty: in the clear; over TCP only
     */
    record Osc(String name, String host, int port, OscCarrier carrier, Optional<Tls> tls, long staleAfterNanos)
            implements Networked {
        /** In the clear. */
        public Osc(String name, String host, int port, OscCarrier carrier, long staleAfterNanos) {
            this(name, host, port, carrier, Optional.empty(), staleAfterNanos);
        }

        /** Over UDP. */
        public Osc(String name, String host, int port, long staleAfterNanos) {
            this(name, host, port, OscCarrier.UDP, staleAfterNanos);
        }

        @Override
        public Osc at(String newHost, int newPort) {
            return new Osc(name, newHost, newPort, carrier, staleAfterNanos);
        }

        @Override
        public String address() {
            String over = carrier == OscCarrier.UDP ? "udp " : tls.isPresent() ? "tls " : "tcp ";
            return "osc " + over + Reasons.where(host, port);
        }
    }

    /**
     * HTTP/1.1.
     *
     * @param basePath what comes before every target, without a closing slash; may be empty
     * @param headers sent with every request
     * @param withinNanos how long a response may take where a request says nothing else
     */
    record Http(
            String name,
            String host,
            int port,
            String basePath,
            Map<String, String> headers,
            Access access,
            long withinNanos,
            long staleAfterNanos)
            implements Networked {
        public Http {
            headers = Map.copyOf(headers);
        }

        /** In the clear, and as anybody. */
        public Http(
                String name,
                String host,
                int port,
                String basePath,
                Map<String, String> headers,
                long withinNanos,
                long staleAfterNanos) {
            this(name, host, port, basePath, headers, Access.OPEN, withinNanos, staleAfterNanos);
        }

        @Override
        public Http at(String newHost, int newPort) {
            return new Http(
                    name, newHost, newPort, basePath, headers, access.inTheClear(), withinNanos, staleAfterNanos);
        }

        @Override
        public String address() {
            return (access.tls().isPresent() ? "https " : "http ") + Reasons.where(host, port) + basePath;
        }
    }

    /**
     * Frames of text over a WebSocket (RFC 6455).
     *
     * @param path and query, beginning with a slash
     * @param headers sent with the opening handshake
     * @param pingNanos after so long without a word from the other side it is asked for one, and lost if none comes as long again
     */
    record WebSocket(
            String name,
            String host,
            int port,
            String path,
            Map<String, String> headers,
            Access access,
            long pingNanos,
            long staleAfterNanos)
            implements Networked {
        public WebSocket {
            headers = Map.copyOf(headers);
        }

        @Override
        public WebSocket at(String newHost, int newPort) {
            return new WebSocket(
                    name, newHost, newPort, path, headers, access.inTheClear(), pingNanos, staleAfterNanos);
        }

        @Override
        public String address() {
            return (access.tls().isPresent() ? "wss " : "ws ") + Reasons.where(host, port) + path;
        }
    }

    /** Text or bytes over a serial line of this machine. */
    record Serial(String name, Path device, SerialLine line, Framing framing, long staleAfterNanos)
            implements GearSettings {
        @Override
        public Tcp at(String newHost, int newPort) {
            return new Tcp(name, newHost, newPort, framing, staleAfterNanos);
        }

        @Override
        public String address() {
            return "serial " + device;
        }
    }

    /**
     * An audio output of this machine, which plays tones.
     *
     * @param output its name, or {@code default}
     */
    record Sound(String name, String output, long staleAfterNanos) implements GearSettings {
        /** The tones in words, one on a line. */
        @Override
        public Tcp at(String host, int port) {
            return new Tcp(name, host, port, LineEnd.LF, staleAfterNanos);
        }

        @Override
        public String address() {
            return "sound " + output;
        }
    }

    /**
     * Output reports to the HID device of a pedal unit, for the lamps on it.
     *
     * @param device the name of the pedal unit
     * @param report the report's number, 0 if the device does not number them
     * @param node where they are written to
     */
    record Led(String name, String device, int report, OutputNode node, long staleAfterNanos) implements GearSettings {
        @Override
        public Tcp at(String newHost, int newPort) {
            return new Tcp(name, newHost, newPort, LineEnd.NONE, staleAfterNanos);
        }

        @Override
        public String address() {
            return "led of " + device;
        }
    }

    /** Where the output reports of a device are written to. */
    @FunctionalInterface
    interface OutputNode {
        /** The node, if the device is there; may take long, so never called on the loop. */
        Optional<Path> find();
    }

    /** What carries OSC packets. */
    enum OscCarrier {
        /** One in each datagram (OSC 1.0). */
        UDP,
        /** Each after its length as an int32 (OSC 1.0). */
        TCP_LENGTH,
        /** Each between two END bytes (OSC 1.1, after RFC 1055). */
        TCP_SLIP
    }

    /** What ends a line of text. */
    enum LineEnd implements Framing {
        CRLF("crlf", "\r\n"),
        LF("lf", "\n"),
        CR("cr", "\r"),
        NONE("none", "");

        private final String word;
        private final String characters;

        LineEnd(String word, String characters) {
            this.word = word;
            this.characters = characters;
        }

        /** The word in a configuration. */
        public String word() {
            return word;
        }

        /** The characters on the wire. */
        public String characters() {
            return characters;
        }
    }
}
